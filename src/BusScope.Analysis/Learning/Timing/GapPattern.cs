using BusScope.Health.Tracking;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>
/// The shape of a distribution of gaps: whether there is one usual gap. Looks at ranks, so that pauses, bursts and lost frames weigh no
/// more than their number.
/// </summary>
internal sealed class GapPattern
{
    /// <summary>A gap is on time between these shares of the period: beyond lies another way of sending, not jitter.</summary>
    private const double EarlyShare = 0.6;
    private const double OverdueShare = 1.5;

    /// <summary>So many gaps on time make a steady period; the rest are bursts, pauses and lost frames.</summary>
    private const double SteadyShare = 0.9;

    /// <summary>Where frames were lost, gaps lie at whole multiples of the period, this near.</summary>
    private const double MultipleError = 0.15;
    private const int LargestMultiple = 12;
    private const double LeastSingle = 0.3;

    /// <summary>Few gaps make a period only if they hardly differ.</summary>
    private const double NarrowShare = 0.1;

    /// <summary>The usual gap of mixed sending: so many gaps within so little of it, and hardly any longer.</summary>
    private const double ClusterShare = 0.3;
    private const double ClusterError = 0.08;
    private const double LongerShare = 0.05;

    /// <summary>Frames in between a steady period: at least so many, and so many for each gap that is too long.</summary>
    private const double LeastExtras = 0.01;
    private const double ExtrasPerDelay = 3;
    private const double LateShare = 1.4;

    private const double ShunnedWidth = 0.12;
    private const double ShunnedShare = 0.1;

    private const int FewestGaps = 3;
    private const int EnoughGaps = 8;
    private const int MostPoints = 200;

    private readonly double[] points;

    /// <summary>The shape of gaps, all of them or a fair choice by rank.</summary>
    public GapPattern(PeriodStatistics gaps)
    {
        var count = (int)Math.Min(gaps.Count, MostPoints);
        points = new double[count];
        for (var i = 0; i < count; i++)
        {
            points[i] = gaps.Quantile((i + 0.5) / count);
        }
    }

    /// <summary>Whether there are enough gaps to say anything.</summary>
    public bool IsEnough => points.Length >= FewestGaps;

    /// <summary>The period in nanoseconds where nearly all gaps are alike, apart from lost frames between them; otherwise null.</summary>
    public double? Steady()
    {
        if (!IsEnough)
        {
            return null;
        }

        var median = points[points.Length / 2];
        if (median <= 0)
        {
            return null;
        }

        if (points.Length < EnoughGaps)
        {
            return points[^1] <= points[0] * (1 + NarrowShare) ? median : null;
        }

        if (Share(gap => gap >= median * EarlyShare && gap <= median * OverdueShare) >= SteadyShare)
        {
            return median;
        }

        var single = Cluster(LeastSingle);
        return single is { } period && Share(gap => IsMultiple(gap, period)) >= SteadyShare ? period : null;
    }

    /// <summary>Whether all gaps but a few are close to one length: stricter than <see cref="Steady"/>, for the search among groups.</summary>
    public double? Narrow() =>
        points.Length >= EnoughGaps && points[points.Length / 2] is > 0 and var median
        && Share(gap => Math.Abs(gap - median) <= median * NarrowShare) >= SteadyShare ? median : null;

    /// <summary>The longest usual gap, where most others are shorter because something was sent in between; otherwise null.</summary>
    public double? Longest()
    {
        var usual = points.Length < EnoughGaps ? null : Cluster(ClusterShare);
        return usual is { } period && Share(gap => gap > period * OverdueShare) <= LongerShare ? period : null;
    }

    /// <summary>
    /// Whether frames come in between a steady period: short gaps that no long ones make up for. (A burst after a jam has as many long ones.)
    /// </summary>
    public bool HasExtras(double period)
    {
        var early = Share(gap => gap < period * EarlyShare);
        return points.Length >= EnoughGaps && early >= LeastExtras && early > ExtrasPerDelay * Share(gap => gap > period * LateShare);
    }

    /// <summary>Whether a length is shunned: hardly a gap is near it. So it is with half the period where short and long gaps alternate.</summary>
    public bool Shuns(double length) => Share(gap => Math.Abs(gap - length) <= length * ShunnedWidth) <= ShunnedShare;

    // The centre of the longest cluster that holds enough gaps.
    private double? Cluster(double share)
    {
        var needed = Math.Max(2, (int)Math.Ceiling(points.Length * share));
        for (var last = points.Length - 1; last >= needed - 1; last--)
        {
            var first = last;
            while (first > 0 && points[first - 1] >= points[last] * (1 - (2 * ClusterError)))
            {
                first--;
            }

            if (last - first + 1 >= needed && points[last] > 0)
            {
                return points[(first + last) / 2];
            }
        }

        return null;
    }

    private static bool IsMultiple(double gap, double period)
    {
        var times = Math.Round(gap / period);
        return times is >= 1 and <= LargestMultiple && Math.Abs((gap / period) - times) <= MultipleError;
    }

    private double Share(Func<double, bool> holds) => points.Length == 0 ? 0 : points.Count(holds) / (double)points.Length;
}
