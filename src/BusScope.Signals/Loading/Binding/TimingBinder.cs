using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads when a message is sent, and fills in when its absence counts.</summary>
internal static class TimingBinder
{
    // Common practice of the trade, no standard: half a period of jitter is still on time, five lost frames are not; the
    // floors keep fast messages from being called late for the receive jitter of an ordinary adapter.
    private const double LatePeriods = 1.5;
    private const double StalePeriods = 5;
    private static readonly FrameSpan lateFloor = FrameSpan.FromMilliseconds(5);
    private static readonly FrameSpan staleFloor = FrameSpan.FromMilliseconds(100);

    /// <summary>The timing with every default filled in.</summary>
    public static MessageTiming Read(Section section, FileBinding file)
    {
        var every = section.Duration("every");
        var onChange = section.Flag("on-change") ?? false;
        var late = section.Duration("late-after");
        var stale = section.Duration("stale-after");
        var expected = every is not null || (!onChange && (late ?? stale) is not null);
        if (late is { } givenLate && every is { } period && givenLate < period)
        {
            file.Faults.Add(Faults.TimingReversed, section.ValuePlace("late-after"), $"late after {givenLate}, but the next frame is due only after {period}", null, section.ValuePlace("every"));
        }
        else if (stale is { } givenStale && (late ?? every) is { } before && givenStale < before)
        {
            file.Faults.Add(Faults.TimingReversed, section.ValuePlace("stale-after"), $"stale after {givenStale}, but {(late is null ? "the next frame is due" : "late")} only after {before}", null, section.ValuePlace(late is null ? "every" : "late-after"));
        }

        if (!expected)
        {
            return new MessageTiming { OnChange = onChange, LateAfter = late, StaleAfter = stale };
        }

        late ??= file.DefaultTiming.LateAfter ?? DefaultLate(every) ?? stale;
        stale ??= Longest(late!.Value, file.DefaultTiming.StaleAfter ?? DefaultStale(every) ?? late.Value);

        // A stale time shorter than the usual late time wins: a message must not be stale before it is late.
        late = section.Has("late-after") ? late : Shortest(late!.Value, stale.Value);
        return new MessageTiming { Every = every, OnChange = onChange, LateAfter = late, StaleAfter = stale };
    }

    private static FrameSpan? DefaultLate(FrameSpan? every) => every is { } period ? Longest(period * LatePeriods, period + lateFloor) : null;

    private static FrameSpan? DefaultStale(FrameSpan? every) => every is { } period ? Longest(period * StalePeriods, staleFloor) : null;

    private static FrameSpan Longest(FrameSpan left, FrameSpan right) => left > right ? left : right;

    private static FrameSpan Shortest(FrameSpan left, FrameSpan right) => left < right ? left : right;
}
