using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// A message that was silent at the end for longer than ever before, and for less than makes it stale: it may have stopped, and nobody can
/// vouch for it. Only slow messages have so much time before they are stale.
/// </summary>
internal static class OpenEnding
{
    // What a recorder cuts off at its end, or a jam of the bus, is shorter. This program's choice.
    private static readonly FrameSpan shortest = FrameSpan.FromSeconds(1);

    // One frame that is lost makes a gap of two. This program's choice.
    private const double TimesLongest = 2;

    /// <summary>For how long it was silent at the end, where that leaves it open whether it stopped; otherwise null.</summary>
    /// <param name="track">Its sender.</param>
    /// <param name="end">The end, for this sender; null where it cannot be judged.</param>
    public static FrameSpan? Of(MessageTrack track, FrameTime? end)
    {
        if (end is not { } at || track.Expectation?.StateAt(at) != MessageState.Late)
        {
            return null;
        }

        var silence = at - track.Last;
        var usual = Math.Max(track.Periods.Longest, track.Defined?.Definition.Timing.Every?.Nanoseconds ?? 0);
        return silence >= shortest && silence.Nanoseconds > usual * TimesLongest ? silence : null;
    }
}
