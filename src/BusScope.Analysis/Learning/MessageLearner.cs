using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning;

/// <summary>Turns the study of an identifier into what can be claimed of it.</summary>
public static class MessageLearner
{
    private const int LeastGaps = 8;

    // A gap is on time between these shares of the median: beyond lies another way of sending, not jitter.
    private const double EarlyShare = 0.6;
    private const double OverdueShare = 1.5;

    /// <summary>Learns one identifier.</summary>
    public static LearnedMessage Learn(IdentifierStudy study)
    {
        var (kind, period, measured) = Timing(study);
        var samples = study.Samples;
        var counters = samples is null || samples.Length == 0 ? [] : CounterFinder.Find(samples);
        var checksum = samples is null || samples.Length < 2 ? null : ChecksumFinder.Find(samples, counters.Count > 0 ? counters[0].Definition : null);

        // A sum follows the counter it covers, so the checksum's own field may have been taken for a second counter.
        var apart = counters.Where(c => checksum?.Definition is not { } found || !Overlap(c.Definition.Field, found.Field)).ToList();
        return new LearnedMessage(study.Bus, study.Id, kind)
        {
            Frames = study.Frames,
            Length = study.Length,
            LengthVaries = study.LengthVaries,
            Period = period,
            Measured = measured,
            Counter = apart.Count > 0 ? apart[0] : null,
            FurtherCounters = apart.Count > 1 ? apart[1..] : [],
            Checksum = checksum,
            ChangedBits = study.ChangedBits[..study.Length].ToArray(),
        };
    }

    private static (SendingKind Kind, FrameSpan? Period, (FrameSpan, FrameSpan, FrameSpan, FrameSpan)? Measured) Timing(IdentifierStudy study)
    {
        var periods = study.Periods;
        if (periods.Count == 0)
        {
            return (SendingKind.Event, null, null);
        }

        var (median, p05, p95) = (periods.Median(), periods.Quantile(0.05), periods.Quantile(0.95));
        var measured = (new FrameSpan(median), new FrameSpan(p05), new FrameSpan(p95), new FrameSpan(periods.Longest));
        if (periods.Count < LeastGaps || median == 0 || p95 > median * OverdueShare)
        {
            // Mixed sending shortens many gaps but leaves the period as the longest usual one.
            var usual = periods.Quantile(0.75);
            var mixed = periods.Count >= LeastGaps && usual > 0 && p95 <= usual * OverdueShare && periods.Quantile(0.5) >= usual * EarlyShare;
            return mixed ? (SendingKind.Mixed, DesignPeriod.Round(new FrameSpan(usual)), measured) : (SendingKind.Event, null, measured);
        }

        var kind = p05 >= median * EarlyShare ? SendingKind.Periodic : SendingKind.Mixed;
        return (kind, DesignPeriod.Round(new FrameSpan(median)), measured);
    }

    private static bool Overlap(BitField a, BitField b) =>
        Enumerable.Range(0, a.Length).Any(i => Enumerable.Range(0, b.Length).Any(k => a.At(i) == b.At(k)));
}
