using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// A recording of a bus whose times are not those at which its frames came, or whose rows are not those that came. How frames lie to one another cannot be
/// told then, but how many came and what is missing for longer can: only that much is explained by it.
/// </summary>
/// <param name="Code">What is wrong.</param>
/// <param name="Most">By how much a time is off at the most.</param>
/// <param name="Times">How often.</param>
/// <param name="Messages">In how many messages it is seen.</param>
internal sealed record StampError(string Code, FrameSpan Most, long Times, int Messages)
{
    // A sender that keeps its period on the average keeps it. This program's choice.
    private const double LargestDifference = 0.15;

    // Periods below so many steps are not told.
    private const int FewestSteps = 3;

    // Around a block of rows that stands elsewhere a counter jumps to it, out of it, and over its place.
    private const int JumpsEach = 3;

    /// <summary>What is wrong with the recording of a bus, or null.</summary>
    public static StampError? On(BusTrack bus) => MisplacedRows.On(bus) ?? LateStamps.On(bus);

    /// <summary>One sentence for a person.</summary>
    public string TextFor(string bus) => Code switch
    {
        FindingCodes.TimesInSteps => $"the times of the recording of bus {bus} come in steps of {Most}: how evenly messages come that have a period of less than {Most * FewestSteps} cannot be told. Record with finer times",
        FindingCodes.RecorderStalled => string.Create(CultureInfo.InvariantCulture, $"the recorder of bus {bus} stood still {(Times == 1 ? "once" : $"{Times} times")}, for up to {Most}: frames of {Messages} messages then have times so close together that no bus can carry them, and none is missing. When they came is not known: record again"),
        FindingCodes.RowsDoubled => string.Create(CultureInfo.InvariantCulture, $"the recording of bus {bus} holds single frames twice, {Times} of them in {Messages} messages: two frames of one message have one time, and one count. Record again"),
        _ => string.Create(CultureInfo.InvariantCulture, $"the rows of the recording of bus {bus} are not in order of time: they step back {(Times == 1 ? "once" : $"{Times} times")}, by {Most} at the most. Sort them by time, or record again"),
    };

    /// <summary>Whether it explains a pause of the whole bus.</summary>
    public bool Explains(FrameSpan pause, FrameSpan shortest) => pause - Most <= shortest;

    /// <summary>What it makes of a message, in a word or two; null where it does not explain what was found.</summary>
    /// <param name="track">The sender.</param>
    /// <param name="finding">What was found.</param>
    /// <param name="until">Until when its bus was recorded.</param>
    public string? EffectOn(MessageTrack track, Finding finding, FrameTime until) => finding.Code switch
    {
        FindingCodes.MessageLate when track.Expectation is { } own && Explains(own.LateGaps.Count > 0 ? own.LateGaps.Longest : until - track.Last, own.LateAfter) => "late",
        FindingCodes.MessageStale when track.Expectation is { } own && Explains(own.StaleGaps.Longest, own.StaleAfter) => "stale for a while",
        FindingCodes.MessageStopped when track.Expectation is { } own && Explains(until - track.Last, own.StaleAfter) => "stale at the end",
        FindingCodes.MessageTooSlow or FindingCodes.MessageTooFast or FindingCodes.TwoSenders or FindingCodes.ExtraFrames or FindingCodes.MessageJitters or FindingCodes.PeriodDiffers
            when KeepsPeriod(track) && !SenderCount.CountersInTurn(track) => "uneven",
        FindingCodes.CounterSkipped when Code == FindingCodes.RowsOutOfOrder && track.Tally!.CounterSkipped.Count <= JumpsEach * Times => "seen with counters that jump",
        FindingCodes.CounterRepeated when Code == FindingCodes.RowsOutOfOrder && track.Tally!.CounterRepeated.Count <= JumpsEach * Times => "seen with repeated counters",
        FindingCodes.CounterRepeated when Code == FindingCodes.RowsDoubled && track.Tally!.CounterRepeated.Count <= LateStamps.GapsTooShort(track) => "seen with repeated counters",
        FindingCodes.ValueImplausible when Most > FrameSpan.Zero => "seen with values that change too fast",
        _ => null,
    };

    // Over all of its time, or over all for which it was expected: a pause of the recorder is left out of the latter.
    private static bool KeepsPeriod(MessageTrack track) =>
        track.Defined?.Definition.Timing.Every is { } every && (IsNear(track.Periods.Mean, every) || (track.Pace is { } pace && IsNear(pace.Mean, every)));

    private static bool IsNear(double mean, FrameSpan every) => Math.Abs((mean / every.Nanoseconds) - 1) <= LargestDifference;
}
