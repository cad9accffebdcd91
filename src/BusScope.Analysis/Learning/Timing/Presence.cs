using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>
/// When something was there in one capture: first frame, last frame, and the long silences between. Used for an identifier and
/// for a whole bus. Bounded: beyond <see cref="MostSilences"/> only their number is kept.
/// </summary>
public sealed class Presence
{
    /// <summary>How many silences are kept.</summary>
    public const int MostSilences = 128;

    // Shorter silences cannot be a message that was switched off: no car switches so fast.
    private const long ShortestSilence = 200 * FrameSpan.NanosecondsPerMillisecond;
    private const int ShareOfUsual = 4;

    // The usual gap is followed slowly, so that a few short or long ones do not move it.
    private const int Inertia = 16;

    private readonly List<Silence> silences = [];
    private long last;
    private long usual = -1;
    private (FrameTime From, FrameTime Until)? firstGap;

    internal Presence(int capture, FrameTime first)
    {
        Capture = capture;
        First = first;
        Last = first;
        last = first.Nanoseconds;
    }

    /// <summary>The number of the capture, from 0.</summary>
    public int Capture { get; }

    /// <summary>The first frame; the earliest where the clock was set back.</summary>
    public FrameTime First { get; private set; }

    /// <summary>The last frame; the latest where the clock was set back.</summary>
    public FrameTime Last { get; private set; }

    /// <summary>Silences that stand out from the usual gap, in order.</summary>
    public IReadOnlyList<Silence> Silences => silences;

    /// <summary>Silences that were counted only.</summary>
    public long FurtherSilences { get; private set; }

    /// <summary>The longest gap that is no silence.</summary>
    public FrameSpan LongestGap { get; private set; }

    /// <summary>A frame arrived.</summary>
    internal void Note(FrameTime time)
    {
        var now = time.Nanoseconds;
        var gap = now - last;
        if (gap < 0)
        {
            // A clock that was set back, or rows out of order: what lies between says nothing.
            last = now;
            First = time < First ? time : First;
            return;
        }

        NoteGap(gap, time);
        last = now;
        Last = time > Last ? time : Last;
    }

    private void NoteGap(long gap, FrameTime time)
    {
        if (usual < 0)
        {
            // Nothing is known yet to tell a gap from a silence: the next gap will say.
            (usual, firstGap) = (gap, (new FrameTime(last), time));
            LongestGap = new FrameSpan(gap);
            return;
        }

        if (firstGap is { } first)
        {
            firstGap = null;
            if (usual >= ShortestSilence && usual >= gap * ShareOfUsual)
            {
                Keep(new Silence(first.From, first.Until));
                (usual, LongestGap) = (gap, new FrameSpan(gap));
                return;
            }
        }

        if (gap >= ShortestSilence && gap >= usual * ShareOfUsual)
        {
            Keep(new Silence(new FrameTime(last), time));
            return;
        }

        LongestGap = gap > LongestGap.Nanoseconds ? new FrameSpan(gap) : LongestGap;
        usual += (gap - usual) / Inertia;
    }

    private void Keep(Silence silence)
    {
        if (silences.Count < MostSilences)
        {
            silences.Add(silence);
        }
        else
        {
            FurtherSilences++;
        }
    }
}
