using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>A message of the definition set as the monitor needs it. Frozen but for its tracks.</summary>
internal sealed class DefinedMessage
{
    /// <summary>A message of the set.</summary>
    /// <param name="index">Its index in the set.</param>
    /// <param name="plan">Its plan.</param>
    public DefinedMessage(int index, MessagePlan plan)
    {
        Index = index;
        Plan = plan;
        var definition = plan.Definition;
        RightLength = definition.Length;
        LongestLength = definition.Length ?? LastByteOf(definition) + 1;
        Unseen = NewExpectation();
        IsCheckedByContent = definition.Counter is not null || definition.Checksum is not null || definition.Signals.Any(IsLimited);
    }

    /// <summary>Its index in the set.</summary>
    public int Index { get; }

    /// <summary>Its plan.</summary>
    public MessagePlan Plan { get; }

    /// <summary>Its definition.</summary>
    public MessageDefinition Definition => Plan.Definition;

    /// <summary>The payload length in bytes, or null where any is right.</summary>
    public int? RightLength { get; }

    /// <summary>The longest payload that it is known to have; where any length is right, what its signals need.</summary>
    public int LongestLength { get; }

    /// <summary>Whether its content is held against anything: a counter, a checksum, limits of a value.</summary>
    public bool IsCheckedByContent { get; }

    /// <summary>One for each sender: a parameter group without a source address may have several.</summary>
    public List<MessageTrack> Tracks { get; private set; } = [];

    /// <summary>What is expected of it while no frame of it came; handed over to its first track.</summary>
    public Expectation? Unseen { get; private set; }

    /// <summary>Whether a condition reads it.</summary>
    public bool IsWatched { get; set; }

    /// <summary>The condition while which it is expected, or null.</summary>
    public Condition? Condition { get; private set; }

    /// <summary>Whether its condition does not hold: nothing of it is expected then, whether it has a period or not.</summary>
    public bool IsOff => Condition is { Holds: false };

    /// <summary>The same message without its tracks, of which copies are to be added.</summary>
    public DefinedMessage Copy()
    {
        var copy = (DefinedMessage)MemberwiseClone();
        copy.Tracks = [];
        copy.Unseen = Unseen?.Copy();
        return copy;
    }

    /// <summary>Says while which condition it is expected.</summary>
    public void DependOn(Condition condition)
    {
        Condition = condition;
        foreach (var expectation in Expectations())
        {
            expectation.Condition = condition;
        }
    }

    /// <summary>Whether frames of this length are right.</summary>
    public bool Takes(int length) => RightLength is null || RightLength == length;

    /// <summary>Adds a track, and says what is expected of it.</summary>
    /// <param name="track">Its first frame has just come.</param>
    /// <param name="at">When.</param>
    public void Add(MessageTrack track, FrameTime at)
    {
        var expectation = Unseen;
        Unseen = null;
        if (expectation is null && (expectation = NewExpectation()) is not null && !IsOff)
        {
            // A further sender: what was expected before was fulfilled, or missed, by the first.
            expectation.Begin(at);
        }

        expectation?.Record(track.Bus.RecordedFrom, track.Bus.RecordedUntil);
        Tracks.Add(track);
        track.Define(this, expectation);
    }

    /// <summary>Takes a track away that turned out to be of another message.</summary>
    public void Remove(MessageTrack track)
    {
        Tracks.Remove(track);
        if (Tracks.Count == 0)
        {
            Unseen = track.Expectation;
        }
    }

    /// <summary>Everything that is expected of it, from each of its senders.</summary>
    public IEnumerable<Expectation> Expectations()
    {
        if (Unseen is { } unseen)
        {
            yield return unseen;
        }

        foreach (var track in Tracks)
        {
            if (track.Expectation is { } expectation)
            {
                yield return expectation;
            }
        }
    }

    private static bool IsLimited(SignalDefinition signal) =>
        signal.Minimum is not null || signal.Maximum is not null || signal.LargestRate is not null || signal.Lives
        || signal.NotAvailable.Count + signal.Error.Count + signal.Reserved.Count > 0;

    private static int LastByteOf(MessageDefinition definition)
    {
        var last = Math.Max(definition.Counter?.Field.LastByte ?? -1, definition.Checksum?.Field.LastByte ?? -1);
        foreach (var range in definition.Checksum?.Over ?? [])
        {
            last = Math.Max(last, range.To);
        }

        last = Math.Max(last, definition.Lives.Length - 1);
        foreach (var signal in definition.Signals)
        {
            last = Math.Max(last, signal.Field.LastByte);
        }

        return last;
    }

    // A message that is sent only when something changes may be silent for as long as nothing does.
    private Expectation? NewExpectation() => Definition.Timing is { StaleAfter: null } or { OnChange: true, Every: null }
        ? null
        : new Expectation(Definition.Timing) { Condition = Condition };
}
