using System.Runtime.CompilerServices;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>A signal definition compiled for running. Frozen.</summary>
public sealed class SignalPlan
{
    private readonly BitWindow window;
    private readonly SignalNumber number;
    private readonly RawQualities? qualities;
    private readonly NamedValue[] names;
    private Selection[] selections = [];

    internal SignalPlan(SignalDefinition definition)
    {
        Definition = definition;
        var isText = definition.Encoding == SignalEncoding.Text;
        window = isText ? default : new BitWindow(definition.Field);
        number = new SignalNumber(definition);
        LastByte = definition.Field.LastByte;
        names = [.. definition.Values.OrderBy(value => value.Raw)];
        if (definition.Encoding is SignalEncoding.Unsigned or SignalEncoding.Signed)
        {
            qualities = RawQualities.Compile(definition, window.Mask, number.Sign, key => number.Physical(key ^ number.Sign));
        }
    }

    /// <summary>What it was compiled from.</summary>
    public SignalDefinition Definition { get; }

    /// <summary>The field's last byte: a shorter payload does not hold the signal.</summary>
    internal int LastByte { get; }

    internal ref readonly BitWindow Window => ref window;

    /// <summary>The sign bit of a signed field, or 0.</summary>
    internal ulong Sign => number.Sign;

    /// <summary>For whole numbers; otherwise null.</summary>
    internal RawQualities? Qualities => qualities;

    /// <summary>Whether a block can be scanned for it as whole numbers in windows, the smallest and the largest deciding about all.</summary>
    internal bool IsPlain { get; private set; }

    /// <summary>The bits of the field as an unsigned number; 0 for a text. The payload must reach to the field's last byte.</summary>
    public ulong Extract(ReadOnlySpan<byte> payload) => window.Mask == 0 ? 0 : window.Read(payload);

    /// <summary>The physical value of a raw value (no special values considered); NaN for a text and for digits that are none.</summary>
    public double Physical(ulong raw) => number.Physical(raw);

    /// <summary>The raw value whose physical value comes nearest, within what the field can hold; 0 for a text or NaN.</summary>
    public ulong Raw(double physical) => number.Raw(physical);

    /// <summary>The named value of a raw value, or null.</summary>
    public string? NameOf(ulong raw)
    {
        if (names.Length == 0 || number.Whole(raw) is not { } whole)
        {
            return null;
        }

        var (low, high) = (0, names.Length - 1);
        while (low <= high)
        {
            var middle = (low + high) / 2;
            var found = names[middle].Raw;
            if (found == whole)
            {
                return names[middle].Name;
            }

            (low, high) = found < whole ? (middle + 1, high) : (low, middle - 1);
        }

        return null;
    }

    /// <summary>The physical value of a named value, or null where the signal has none of that name.</summary>
    public double? ValueOf(string name)
    {
        foreach (var value in names)
        {
            if (value.Name == name)
            {
                return (value.Raw * Definition.Scale) + Definition.Offset;
            }
        }

        return null;
    }

    /// <summary>The text of a text signal, cleaned of nothing; null where the payload is too short or it is no text.</summary>
    public string? Text(ReadOnlySpan<byte> payload)
    {
        if (Definition.Encoding != SignalEncoding.Text || payload.Length <= LastByte)
        {
            return null;
        }

        var bytes = payload[Definition.Field.FirstByte..(LastByte + 1)];
        var end = bytes.IndexOf((byte)0);
        return System.Text.Encoding.Latin1.GetString((end < 0 ? bytes : bytes[..end]).TrimEnd((byte)' '));
    }

    /// <summary>Reads the signal of one frame.</summary>
    internal Sample Read(ReadOnlySpan<byte> payload) => IsPresent(payload) ? Judge(Extract(payload)) : new Sample(0, double.NaN, SampleQuality.Absent);

    /// <summary>Whether the payload reaches to the field's end and every selector selects it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal bool IsPresent(ReadOnlySpan<byte> payload) => payload.Length > LastByte && (selections.Length == 0 || IsSelected(payload));

    /// <summary>What a raw value says.</summary>
    internal Sample Judge(ulong raw)
    {
        var quality = qualities is null ? JudgeOther(raw) : qualities.Of(raw ^ number.Sign);
        return new Sample(raw, quality is SampleQuality.NotAvailable or SampleQuality.Error ? double.NaN : number.Physical(raw), quality);
    }

    /// <summary>Finds the signals that select this one, and what selects those; done once, before anything is read.</summary>
    internal void Select(IReadOnlyList<SignalPlan> siblings)
    {
        selections = Definition.When.Count == 0 ? [] : Selections(siblings);
        IsPlain = qualities is not null && !window.Straddles && selections.Length == 0 && Definition.LargestRate is null && Definition.Field.Length < 64;
    }

    private Selection[] Selections(IReadOnlyList<SignalPlan> siblings)
    {
        var found = new List<Selection>();
        var met = new HashSet<string>(StringComparer.Ordinal) { Definition.Name };
        var open = new Queue<SignalDefinition>([Definition]);
        while (open.TryDequeue(out var next))
        {
            foreach (var condition in next.When)
            {
                if (siblings.FirstOrDefault(sibling => sibling.Definition.Name == condition.Selector) is not { } selector)
                {
                    continue;
                }

                found.Add(new Selection(selector, [.. condition.Values]));
                if (met.Add(condition.Selector))
                {
                    open.Enqueue(selector.Definition);
                }
            }
        }

        return [.. found];
    }

    private static bool AnyHolds(IReadOnlyList<RawRange> ranges, ulong raw)
    {
        for (var i = 0; i < ranges.Count; i++)
        {
            if (ranges[i].Contains(raw))
            {
                return true;
            }
        }

        return false;
    }

    private bool IsSelected(ReadOnlySpan<byte> payload)
    {
        foreach (ref readonly var selection in selections.AsSpan())
        {
            if (payload.Length <= selection.Selector.LastByte || !AnyHolds(selection.Values, selection.Selector.Extract(payload)))
            {
                return false;
            }
        }

        return true;
    }

    // Floats and packed decimals: their raw bits are in no order that ranges could be brought down to.
    private SampleQuality JudgeOther(ulong raw)
    {
        if (Definition.Encoding == SignalEncoding.Text)
        {
            return SampleQuality.Ok;
        }

        if (AnyHolds(Definition.NotAvailable, raw))
        {
            return SampleQuality.NotAvailable;
        }

        if (AnyHolds(Definition.Error, raw))
        {
            return SampleQuality.Error;
        }

        var value = number.Physical(raw);
        if (double.IsNaN(value))
        {
            // IEEE 754's own way to say that there is no value; a packed digit above nine is a number that cannot be.
            return Definition.Encoding == SignalEncoding.Float ? SampleQuality.NotAvailable : SampleQuality.OutOfRange;
        }

        return double.IsInfinity(value) || value < Definition.Minimum || value > Definition.Maximum || AnyHolds(Definition.Reserved, raw)
            ? SampleQuality.OutOfRange
            : SampleQuality.Ok;
    }

    private readonly record struct Selection(SignalPlan Selector, RawRange[] Values);
}
