namespace BusScope.Health.Findings;

/// <summary>The stable names of what can be found; each is documented in docs/health.md.</summary>
public static class FindingCodes
{
    /// <summary>Never seen, and the grace time is over.</summary>
    public const string MessageMissing = "message-missing";

    /// <summary>Seen before, and stale at the end.</summary>
    public const string MessageStopped = "message-stopped";

    /// <summary>Stale for a while, and back again.</summary>
    public const string MessageStale = "message-stale";

    /// <summary>Many messages whose first frames came late, and together.</summary>
    public const string BeganTogether = "began-together";

    /// <summary>Many messages that stopped together while others go on.</summary>
    public const string StoppedTogether = "stopped-together";

    /// <summary>Many messages that were stale together for a while, or whose first frames came too late together.</summary>
    public const string StaleTogether = "stale-together";

    /// <summary>Nearly all messages under one condition that never came.</summary>
    public const string MissingTogether = "missing-together";

    /// <summary>Often late.</summary>
    public const string MessageLate = "message-late";

    /// <summary>The usual period is much longer than defined.</summary>
    public const string MessageTooSlow = "message-too-slow";

    /// <summary>The usual period is much shorter than defined.</summary>
    public const string MessageTooFast = "message-too-fast";

    /// <summary>Frames in between those that keep the period.</summary>
    public const string ExtraFrames = "extra-frames";

    /// <summary>The usual period differs from the defined one, and is neither much longer nor much shorter.</summary>
    public const string PeriodDiffers = "period-differs";

    /// <summary>The usual period is right, but frames come too early and too late all the time.</summary>
    public const string MessageJitters = "message-jitters";

    /// <summary>Not as long as defined.</summary>
    public const string WrongLength = "wrong-length";

    /// <summary>The alive counter stood still.</summary>
    public const string CounterRepeated = "counter-repeated";

    /// <summary>The alive counter jumped.</summary>
    public const string CounterSkipped = "counter-skipped";

    /// <summary>The checksum does not fit the payload.</summary>
    public const string ChecksumWrong = "checksum-wrong";

    /// <summary>A value outside its range or among the reserved raw values.</summary>
    public const string ValueOutOfRange = "value-out-of-range";

    /// <summary>The sender says that it has no valid value.</summary>
    public const string ValueNotAvailable = "value-not-available";

    /// <summary>The sender says that its sensor is at fault.</summary>
    public const string ValueError = "value-error";

    /// <summary>A value that changed faster than plausible.</summary>
    public const string ValueImplausible = "value-implausible";

    /// <summary>One identifier over and over beside error reports: nobody acknowledges it.</summary>
    public const string BusUnacknowledged = "bus-unacknowledged";

    /// <summary>Messages that may come when they like, and never came.</summary>
    public const string NotAwaited = "not-awaited";

    /// <summary>A sequence or a relay, which this version reads and does not judge.</summary>
    public const string NotEvaluated = "not-evaluated";

    /// <summary>A payload that is constant where it used to live.</summary>
    public const string PayloadStuck = "payload-stuck";

    /// <summary>A part of a payload that was constant and is another constant.</summary>
    public const string PayloadDiffers = "payload-differs";

    /// <summary>A signal that is meant to move and did not, or no longer.</summary>
    public const string SignalStuck = "signal-stuck";

    /// <summary>Two senders of one message.</summary>
    public const string TwoSenders = "two-senders";

    /// <summary>No frame at all on a bus.</summary>
    public const string BusSilent = "bus-silent";

    /// <summary>Frames were sent on a bus, and the recorder lost them.</summary>
    public const string RecorderLostFrames = "recorder-lost-frames";

    /// <summary>The recording holds every frame of a bus twice.</summary>
    public const string RecordingDoubled = "recording-doubled";

    /// <summary>The recording holds single frames of a bus twice.</summary>
    public const string RowsDoubled = "rows-doubled";

    /// <summary>The rows of the recording are not in order of time.</summary>
    public const string RowsOutOfOrder = "rows-out-of-order";

    /// <summary>The recorder stood still for a while, and gave the frames that waited times of afterwards.</summary>
    public const string RecorderStalled = "recorder-stalled";

    /// <summary>The clock of the recorder goes on in steps that are as long as periods.</summary>
    public const string TimesInSteps = "times-in-steps";

    /// <summary>One of several recordings begins later or ends earlier than the others.</summary>
    public const string RecordingShort = "recording-short";

    /// <summary>A message that came on another bus instead of its own.</summary>
    public const string WrongBus = "wrong-bus";

    /// <summary>A module whose own message does not come: the module itself is gone.</summary>
    public const string ModuleSilent = "module-silent";

    /// <summary>Identifiers that no definition claims.</summary>
    public const string UnknownIdentifier = "unknown-identifier";

    /// <summary>More identifiers than are told apart.</summary>
    public const string IdentifierOverflow = "identifier-overflow";

    /// <summary>A module of which nothing is known that it needs.</summary>
    public const string ModuleNeedsNothing = "module-needs-nothing";

    /// <summary>An expectation that these frames cannot decide.</summary>
    public const string NotJudged = "not-judged";

    /// <summary>No frame at all.</summary>
    public const string NoFrames = "no-frames";

    /// <summary>The definitions expect nothing.</summary>
    public const string NothingExpected = "nothing-expected";

    /// <summary>The source ended before its time.</summary>
    public const string SourceCut = "source-cut";

    /// <summary>Every code, worst consequences first.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        BusSilent, ModuleSilent, StoppedTogether, MissingTogether, MessageMissing, MessageStopped, WrongBus, StaleTogether, MessageStale, TwoSenders, ChecksumWrong, WrongLength,
        CounterRepeated, CounterSkipped, BeganTogether, MessageTooSlow, MessageTooFast, ExtraFrames, MessageJitters, PeriodDiffers, MessageLate, ValueError, ValueOutOfRange,
        ValueNotAvailable, ValueImplausible, PayloadStuck, PayloadDiffers, SignalStuck, RecorderLostFrames, RecordingDoubled, RowsDoubled, RowsOutOfOrder, RecorderStalled,
        TimesInSteps, RecordingShort, IdentifierOverflow, UnknownIdentifier,
        ModuleNeedsNothing, NotJudged, NothingExpected,
        NoFrames, SourceCut, BusUnacknowledged, NotAwaited, NotEvaluated,
    ];
}
