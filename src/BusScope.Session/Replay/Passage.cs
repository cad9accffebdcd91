using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>
/// The way through a recording, frame by frame: where one stands, and whether the clock was set back before the next frame. Each bus is
/// held against itself alone, as the monitor does it, for the clocks of two buses may stand any time apart. Used by one thread.
/// </summary>
internal sealed class Passage
{
    /// <summary>The most stretches that are told apart. A clock that is set back more often tells no time, and its frames are only counted.</summary>
    public const int MostStretches = 1_000;

    // Frames of a bus may be this far out of order; what steps back further is a clock that was set.
    private const long LargestStepBack = FrameSpan.NanosecondsPerSecond;

    // By bus: what comes before this was set back. Before its first frame in a stretch nothing was.
    private long[] earliest = [];

    /// <summary>Where one stands.</summary>
    public Standing Standing { get; private set; } = Standing.Beginning;

    /// <summary>The same way, which goes on by itself.</summary>
    public Passage Copy() => new() { earliest = [.. earliest], Standing = Standing };

    /// <summary>Whether the clock was set back before this frame, if it is the next.</summary>
    public bool IsSetBack(in Frame next) =>
        next.Bus < earliest.Length && next.Time.Nanoseconds < earliest[next.Bus] && Standing.Stretch < MostStretches - 1;

    /// <summary>The moment of this frame, if it is the next.</summary>
    public Moment MomentOf(in Frame next) => new(IsSetBack(next) ? Standing.Stretch + 1 : Standing.Stretch, next.Time);

    /// <summary>Passes the next frame.</summary>
    public void Pass(in Frame next)
    {
        var (time, at) = (next.Time, Standing);
        if (IsSetBack(next))
        {
            // The other buses' clocks may be set back with it: nobody has spoken yet in the new stretch.
            Array.Fill(earliest, long.MinValue);
            Standing = new Standing(at.Frames + 1, at.Stretch + 1, time, time);
        }
        else
        {
            Standing = new Standing(at.Frames + 1, at.Stretch, at.First.IsKnown ? at.First : time, time > at.Latest ? time : at.Latest);
        }

        if (next.Bus >= earliest.Length)
        {
            MakeRoom(next.Bus + 1);
        }

        earliest[next.Bus] = time.Nanoseconds < long.MinValue + LargestStepBack ? long.MinValue : time.Nanoseconds - LargestStepBack;
    }

    private void MakeRoom(int buses)
    {
        var known = earliest.Length;
        Array.Resize(ref earliest, buses);
        Array.Fill(earliest, long.MinValue, known, buses - known);
    }
}
