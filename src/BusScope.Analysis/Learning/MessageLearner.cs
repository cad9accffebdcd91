using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>Turns the study of an identifier into what can be claimed of it by itself.</summary>
internal static class MessageLearner
{
    private const double Margin = 1.5;

    // Fewer frames say little of what never changes. This program's choice.
    private const long EnoughForConstant = 32;

    /// <summary>Learns one identifier.</summary>
    /// <param name="study">What was kept of it.</param>
    /// <param name="times">When something of its bus could be seen.</param>
    public static LearnedMessage Learn(IdentifierStudy study, IReadOnlyList<BusTime> times)
    {
        var timing = TimingLearner.Learn(study);
        var attendance = timing.Period is null ? null : Attendance.Of(study.Presences, times, timing);
        var samples = study.Samples is { Length: > 0 } kept ? kept : null;
        var counters = samples is null ? [] : CounterFinder.Find(samples);
        var (checksum, by) = samples is null || samples.Length < 2 ? default : FindChecksum(samples, counters);

        // A sum follows the counter it covers, so the checksum's own field may have been taken for a counter. The counter that chooses the data ids is the message's.
        var apart = counters.Where(counter => checksum?.Definition is not { } found || !counter.Definition.Field.Overlaps(found.Field))
            .OrderByDescending(counter => counter == by && checksum?.Definition is { DataIds.Count: > 1 })
            .Select(counter => counter with { IsGuarded = checksum?.Definition is not null }).ToList();
        var check = checksum?.Definition?.Field ?? checksum?.Suspect;
        var selector = samples is null ? null : SelectorFinder.Find(samples, [.. apart.Select(counter => counter.Definition.Field)], check);

        // Pages that go round count as well, and so does what stands on them, but they are no sign of life of their own.
        apart.RemoveAll(counter => selector is not null && (selector.Field.Overlaps(counter.Definition.Field) || counter.Definition.Modulo == selector.Values.Count));
        IReadOnlyList<ByteCopy> copies = samples is null ? [] : PayloadCopies.Bytes(samples);
        return new LearnedMessage(study.Bus, study.Id, WithHiccups(timing, attendance))
        {
            Frames = study.Frames,
            Length = study.Length,
            OtherLengths = study.OtherLengths,
            Attendance = attendance,
            Counter = apart.Count > 0 ? apart[0] : null,
            FurtherCounters = apart.Count > 1 ? apart[1..] : [],
            Checksum = checksum,
            Copies = copies,
            Selector = selector,
            ChangedBits = Enumerable.Range(0, study.Length).Select(study.Bits.ChangedBits).ToArray(),

            // Pages that go round change every bit in which they differ, also when what stands on them is frozen.
            Lives = selector is null ? LifeFinder.Find(study, timing, counters, checksum, copies) : default,
            LivesSeen = study.Life.Stretches,
            Constant = study is { Frames: >= EnoughForConstant, OtherLengths: 0 } ? study.Bits.Unchanged(study.Length) : null,
        };
    }

    // A field that was taken for the first counter gets its chance as a checksum, beside the second or beside none.
    private static (FoundChecksum? Checksum, FoundCounter? By) FindChecksum(PayloadSamples samples, IReadOnlyList<FoundCounter> counters)
    {
        var counting = counters.Select(counter => counter.Definition.Field).ToList();
        var first = Beside(counters.Count > 0 ? counters[0] : null);
        return first.Checksum?.Definition is not null || counters.Count == 0 || (counters.Count == 1 && counters[0].CountsByOne) ? first
            : Beside(counters.Count > 1 ? counters[1] : null) is { Checksum.Definition: not null } second ? second
            : first;

        (FoundChecksum? Checksum, FoundCounter? By) Beside(FoundCounter? counter) => (ChecksumFinder.Find(samples, counter?.Definition, counting), counter);
    }

    private static LearnedTiming WithHiccups(LearnedTiming timing, Attendance? attendance) =>
        attendance is { LongestHiccup: var hiccup } && hiccup * Margin > timing.StaleAfter
            ? timing with { StaleAfter = Shorter(ExpectedTiming.Rounded(hiccup * Margin), ExpectedTiming.Cap(timing.Period!.Value)), IsStaleWidened = true }
            : timing;

    private static FrameSpan Shorter(FrameSpan a, FrameSpan b) => a < b ? a : b;
}
