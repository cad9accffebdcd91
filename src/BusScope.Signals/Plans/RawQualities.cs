using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>
/// What raw values are worth: special values, reserved values and the physical range, all brought down to intervals of raw
/// values once, so that no frame needs a comparison of physical values. Works on keys: the raw bits, with the sign bit
/// flipped for a signed field, so that keys are in the order of the numbers.
/// </summary>
internal sealed class RawQualities
{
    // The range as written is a decimal; the physical value is a binary product. A value counts as inside when it lies
    // outside by less than this part of a step.
    private const double Tolerance = 1e-6;

    private static readonly RawQualities none = new([]);

    private readonly Interval[] exceptions;

    private RawQualities(Interval[] exceptions) => this.exceptions = exceptions;

    /// <summary>Whether every raw value is a valid one.</summary>
    public bool IsEmpty => exceptions.Length == 0;

    /// <summary>Compiles a whole-number signal.</summary>
    /// <param name="definition">The signal.</param>
    /// <param name="largest">The largest key.</param>
    /// <param name="sign">The sign bit, or 0.</param>
    /// <param name="physical">The physical value of a key; never falls where the scale is positive, never rises where it is negative.</param>
    public static RawQualities Compile(SignalDefinition definition, ulong largest, ulong sign, Func<ulong, double> physical)
    {
        // In order of precedence: the first interval that holds a key says what it is worth.
        var wanted = new List<Interval>();
        AddRaw(wanted, definition.NotAvailable, SampleQuality.NotAvailable, largest, sign);
        AddRaw(wanted, definition.Error, SampleQuality.Error, largest, sign);
        AddRaw(wanted, definition.Reserved, SampleQuality.OutOfRange, largest, sign);
        var tolerance = Math.Abs(definition.Scale) * Tolerance;
        if (definition.Minimum is { } minimum)
        {
            AddWhere(wanted, largest, key => physical(key) < minimum - tolerance);
        }

        if (definition.Maximum is { } maximum)
        {
            AddWhere(wanted, largest, key => physical(key) > maximum + tolerance);
        }

        return wanted.Count == 0 ? none : new RawQualities(Disjoint(wanted));
    }

    /// <summary>What a key is worth.</summary>
    public SampleQuality Of(ulong key)
    {
        foreach (ref readonly var interval in exceptions.AsSpan())
        {
            if (key - interval.From <= interval.To - interval.From)
            {
                return interval.Quality;
            }
        }

        return SampleQuality.Ok;
    }

    /// <summary>Whether all keys from one to another are valid.</summary>
    public bool AreOk(ulong from, ulong to)
    {
        foreach (ref readonly var interval in exceptions.AsSpan())
        {
            if (interval.From <= to && from <= interval.To)
            {
                return false;
            }
        }

        return true;
    }

    private static void AddRaw(List<Interval> wanted, IReadOnlyList<RawRange> ranges, SampleQuality quality, ulong largest, ulong sign)
    {
        foreach (var (from, rawTo) in ranges)
        {
            var to = Math.Min(rawTo, largest);
            if (from > to)
            {
                continue;
            }

            if (sign != 0 && from < sign && sign <= to)
            {
                // Flipping the sign bit tears a range that runs across it in two.
                wanted.Add(new Interval(from ^ sign, (sign - 1) ^ sign, quality));
                wanted.Add(new Interval(0, to ^ sign, quality));
            }
            else
            {
                wanted.Add(new Interval(from ^ sign, to ^ sign, quality));
            }
        }
    }

    // The condition changes at most once from key 0 to the largest, because physical values run one way.
    private static void AddWhere(List<Interval> wanted, ulong largest, Func<ulong, bool> holds)
    {
        var atStart = holds(0);
        if (holds(largest) == atStart)
        {
            if (atStart)
            {
                wanted.Add(new Interval(0, largest, SampleQuality.OutOfRange));
            }

            return;
        }

        var (same, other) = (0UL, largest);
        while (other - same > 1)
        {
            var middle = same + ((other - same) / 2);
            if (holds(middle) == atStart)
            {
                same = middle;
            }
            else
            {
                other = middle;
            }
        }

        wanted.Add(atStart ? new Interval(0, same, SampleQuality.OutOfRange) : new Interval(other, largest, SampleQuality.OutOfRange));
    }

    private static Interval[] Disjoint(List<Interval> wanted)
    {
        var starts = new SortedSet<ulong>();
        foreach (var interval in wanted)
        {
            starts.Add(interval.From);
            if (interval.To != ulong.MaxValue)
            {
                starts.Add(interval.To + 1);
            }
        }

        var result = new List<Interval>();
        var edges = starts.ToArray();
        for (var i = 0; i < edges.Length; i++)
        {
            var from = edges[i];
            var to = i + 1 < edges.Length ? edges[i + 1] - 1 : ulong.MaxValue;
            var holder = wanted.FindIndex(interval => interval.From <= from && from <= interval.To);
            if (holder < 0)
            {
                continue;
            }

            var quality = wanted[holder].Quality;
            if (result.Count > 0 && result[^1].Quality == quality && result[^1].To == from - 1)
            {
                result[^1] = result[^1] with { To = to };
            }
            else
            {
                result.Add(new Interval(from, to, quality));
            }
        }

        return [.. result];
    }

    private readonly record struct Interval(ulong From, ulong To, SampleQuality Quality);
}
