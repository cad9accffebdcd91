using System.Globalization;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Ranges with their faults: bytes, bits, raw values, physical values.</summary>
internal static class RangeReading
{
    /// <summary>Whole numbers from one to another: <c>0..6</c>, or one alone.</summary>
    public static (Int128 From, Int128 To)? Ends(FaultList faults, ScalarNode scalar, Int128 smallest, Int128 largest, string expected)
    {
        var isRange = Literal.SplitRange(scalar.Value, out var from, out var to);
        if (!Literal.TryWhole(from, out var low) || !Literal.TryWhole(to, out var high))
        {
            faults.Add(Faults.BadNumber, scalar.Place, $"found {scalar.Describe()}; expected {expected}", HyphenRange(scalar.Value, isRange));
            return null;
        }

        if (low < smallest || low > largest || high < smallest || high > largest)
        {
            faults.Add(Faults.OutOfBounds, scalar.Place, $"found {scalar.Value}; expected numbers from {smallest} to {largest}");
            return null;
        }

        if (high < low)
        {
            faults.Add(Faults.RangeReversed, scalar.Place, $"the range {scalar.Value} ends before it begins", $"did you mean '{to}..{from}'?");
            return null;
        }

        return (low, high);
    }

    /// <summary>Byte ranges in the order of the file.</summary>
    public static IReadOnlyList<ByteRange>? ByteRanges(FaultList faults, IReadOnlyList<Node> items, int bytes)
    {
        var ranges = new List<ByteRange>();
        var whole = true;
        foreach (var item in items)
        {
            if (faults.Scalar(item, "byte range") is { } scalar && Ends(faults, scalar, 0, bytes - 1, "a byte range such as 0..6") is var (from, to))
            {
                ranges.Add(new ByteRange((int)from, (int)to));
                continue;
            }

            whole = false;
        }

        return whole ? ranges : null;
    }

    /// <summary>
    /// Raw values as ranges of the field's unsigned bits. A negative number means its two's complement; a range across zero
    /// becomes two.
    /// </summary>
    public static IReadOnlyList<RawRange> RawRanges(FaultList faults, IReadOnlyList<Node> items, int bits, bool isSigned)
    {
        var ranges = new List<RawRange>();
        var mask = bits >= 64 ? ulong.MaxValue : (1UL << bits) - 1;
        foreach (var item in items)
        {
            if (faults.Scalar(item, "raw value or range") is not { } scalar || Ends(faults, scalar, long.MinValue, ulong.MaxValue, "a raw value such as 0xFF, or a range such as 0xFB..0xFD") is not var (from, to))
            {
                continue;
            }

            var smallest = isSigned ? -((Int128)(mask / 2) + 1) : 0;
            if (from < smallest || to > mask)
            {
                faults.Add(Faults.RawTooLarge, scalar.Place, $"the raw value {(to > mask ? to : from)} does not fit a field of {bits} bits; expected {smallest} to 0x{mask:X}");
                continue;
            }

            if (from < 0)
            {
                ranges.Add(new RawRange((ulong)(long)from & mask, (ulong)(long)Int128.Min(to, -1) & mask));
                from = 0;
            }

            if (to >= from)
            {
                ranges.Add(new RawRange((ulong)from, (ulong)to));
            }
        }

        return ranges;
    }

    /// <summary>Physical values: <c>0..9000</c>, open to one side as <c>0..</c> or <c>..100</c>.</summary>
    public static (double? From, double? To) Numbers(FaultList faults, ScalarNode scalar)
    {
        var isRange = Literal.SplitRange(scalar.Value, out var from, out var to);
        var low = 0.0;
        var high = 0.0;
        if (!isRange || (from.Length == 0 && to.Length == 0)
            || (from.Length > 0 && !Literal.TryNumber(from, out low)) || (to.Length > 0 && !Literal.TryNumber(to, out high)))
        {
            faults.Add(Faults.BadNumber, scalar.Place, $"found {scalar.Describe()}; expected a range such as 0..9000, 0.. or ..100", HyphenRange(scalar.Value, isRange));
            return (null, null);
        }

        if (from.Length > 0 && to.Length > 0 && high < low)
        {
            faults.Add(Faults.RangeReversed, scalar.Place, $"the range {scalar.Value} ends before it begins", $"did you mean '{to}..{from}'?");
            return (null, null);
        }

        return (from.Length > 0 ? low : null, to.Length > 0 ? high : null);
    }

    private static string? HyphenRange(string text, bool isRange)
    {
        var hyphen = text.IndexOf('-', 1 < text.Length ? 1 : 0);
        return !isRange && hyphen > 0 && Literal.TryNumber(text[..hyphen].Trim(), out _) && Literal.TryNumber(text[(hyphen + 1)..].Trim(), out _)
            ? string.Create(CultureInfo.InvariantCulture, $"did you mean '{text[..hyphen].Trim()}..{text[(hyphen + 1)..].Trim()}'?")
            : null;
    }
}
