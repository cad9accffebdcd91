using System.Runtime.CompilerServices;
using BusScope.Frames;
using BusScope.Frames.Wire;
using BusScope.Health.Expectations;
using BusScope.Health.History;

namespace BusScope.Health.Tracking;

/// <summary>Everything seen of one bus as a whole.</summary>
internal sealed class BusTrack
{
    /// <summary>Silence of all identifiers for longer than this is the bus's and not the messages': the shortest such time.</summary>
    public static readonly FrameSpan ShortestSilence = FrameSpan.FromSeconds(1);

    /// <summary>A step back of the clock by more than this is a clock set anew; less is frames out of order.</summary>
    public static readonly FrameSpan LargestDisorder = FrameSpan.FromSeconds(1);

    // The last frame that was earlier than another before it, and that one.
    private (FrameTime Latest, FrameTime Last) earlier = (FrameTime.Never, FrameTime.Never);

    /// <summary>A bus that has not spoken.</summary>
    /// <param name="index">Its index in the source.</param>
    /// <param name="bus">As the source describes it.</param>
    public BusTrack(int index, Bus bus)
    {
        Index = index;
        Bus = bus;
    }

    /// <summary>Its index in the source.</summary>
    public int Index { get; }

    /// <summary>As the source describes it.</summary>
    public Bus Bus { get; }

    /// <summary>What measures its load, or null.</summary>
    public BusLoadMeter? Load { get; set; }

    /// <summary>Its load over time, where that is kept; null without <see cref="Load"/>.</summary>
    public BinSeries<LoadBin>? History { get; set; }

    /// <summary>Its identifiers.</summary>
    public List<MessageTrack> Tracks { get; private set; } = [];

    /// <summary>Data, remote and error frames.</summary>
    public long Frames { get; set; }

    /// <summary>Remote frames.</summary>
    public long RemoteFrames { get; set; }

    /// <summary>Error reports of the adapter.</summary>
    public long ErrorFrames { get; set; }

    /// <summary>What those say that came since the latest frame.</summary>
    public BusErrors Errors { get; private set; } = new();

    /// <summary>When the adapter that recorded it withdrew from it, so that nothing was seen since; null where it did not, or came back.</summary>
    public FrameTime? OffSince => Errors.OffSince(Latest);

    /// <summary>Frames of identifiers beyond the most that are told apart.</summary>
    public long OverflowFrames { get; set; }

    /// <summary>How often its clock was set back by more than <see cref="LargestDisorder"/>.</summary>
    public int ClockRestarts { get; set; }

    /// <summary>How often its times stepped back by less than that.</summary>
    public long StepsBack { get; private set; }

    /// <summary>The largest of these steps, from the latest frame.</summary>
    public FrameSpan LargestStepBack { get; private set; }

    /// <summary>When the first frame came, or <see cref="FrameTime.Never"/>.</summary>
    public FrameTime First { get; set; } = FrameTime.Never;

    /// <summary>When the last data or remote frame came, or <see cref="FrameTime.Never"/>; frames out of order do not turn it back.</summary>
    public FrameTime Latest { get; set; } = FrameTime.Never;

    /// <summary>How many frames it had when a clock of the source was set back the last time; -1 before that, and if the clock was its own.</summary>
    public long FramesAtRestart { get; set; } = -1;

    /// <summary>Whether it has spoken since a clock of the source was set back.</summary>
    public bool HasSpoken => Frames > FramesAtRestart;

    /// <summary>When its recording began, where several are read as one, or null. What it does not hold may have been on the bus all the same.</summary>
    public FrameTime? RecordedFrom { get; set; }

    /// <summary>When that recording ended, or null.</summary>
    public FrameTime? RecordedUntil { get; set; }

    /// <summary>Silence beyond this is the bus's.</summary>
    public FrameSpan SilenceTime { get; set; } = ShortestSilence;

    /// <summary>
    /// A pause beyond this, shorter than a silence, may still be one of the bus as a whole: the shortest time in which one of its
    /// messages goes stale.
    /// </summary>
    public FrameSpan PauseTime { get; set; } = ShortestSilence;

    /// <summary>What the alive counters say about its silences.</summary>
    public PauseEvidence Evidence { get; private set; } = new();

    /// <summary>Frames that its adapter or recorder says it lost.</summary>
    public long LostFrames { get; set; }

    /// <summary>The silences that ended, or that began the session.</summary>
    public GapTally Silences { get; private set; } = new();

    /// <summary>How much those silences weigh: whether something was expected of the bus while they lasted.</summary>
    public FindingSeverity SilenceSeverity { get; set; }

    /// <summary>
    /// The latest moment of several. They may run some time apart, so the latest of all counts; but after a clock was set back only
    /// those that have spoken since.
    /// </summary>
    public static FrameTime LatestOf(List<BusTrack> buses)
    {
        var latest = FrameTime.Never;
        foreach (var bus in buses)
        {
            if (bus.Latest.IsKnown && bus.HasSpoken && bus.Latest > latest)
            {
                latest = bus.Latest;
            }
        }

        return latest;
    }

    /// <summary>The same bus without its tracks, of which copies are to be added.</summary>
    public BusTrack Copy()
    {
        var copy = (BusTrack)MemberwiseClone();
        copy.Load = Load?.Copy();
        copy.History = History?.Copy();
        copy.Tracks = [];
        copy.Errors = Errors.Copy();
        copy.Evidence = Evidence.Copy();
        copy.Silences = Silences.Copy();
        return copy;
    }

    /// <summary>
    /// Whether a time is simply a little later than the latest: neither a step back nor a pause of the whole bus. One comparison; a step back
    /// is a huge number, and so is the first time of all.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool GoesOn(FrameTime time) => (ulong)(time.Nanoseconds - Latest.Nanoseconds) <= (ulong)PauseTime.Nanoseconds;

    /// <summary>Up to a moment, the latest one of which its recording tells.</summary>
    public FrameTime Recorded(FrameTime now) => RecordedUntil is { } until && until < now ? until : now;

    /// <summary>Takes in the time of a frame that is earlier than the latest one, by no more than <see cref="LargestDisorder"/>. Those that follow it in order are of the same step.</summary>
    public void StepBack(FrameTime time)
    {
        StepsBack += earlier.Latest != Latest || time < earlier.Last ? 1 : 0;
        LargestStepBack = Latest - time > LargestStepBack ? Latest - time : LargestStepBack;
        earlier = (Latest, time);
    }

    /// <summary>Measures a frame; only where there is a <see cref="Load"/>.</summary>
    public void Measure(in Frame frame)
    {
        var before = History is null ? 0 : Load!.BusySeconds;
        Load!.Add(frame);
        History?.At(frame.Time.Nanoseconds).Add(Load.BusySeconds - before);
    }

    /// <summary>Its latest frame when it was found to be silent while something was still expected of it; <see cref="FrameTime.Never"/> before that.</summary>
    public FrameTime SilentSince { get; set; } = FrameTime.Never;

    /// <summary>For which moment and which latest frame it was last asked whether the bus is silent.</summary>
    public (FrameTime Now, FrameTime Latest) SilentAsked { get; set; } = (FrameTime.Never, FrameTime.Never);

    /// <summary>What was answered.</summary>
    public bool SilentAnswer { get; set; }
}
