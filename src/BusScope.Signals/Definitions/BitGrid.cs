using System.Globalization;
using System.Text;
using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Definitions;

/// <summary>
/// A message drawn as text, 80 columns wide: one row a byte, bit 7 to bit 0, in each cell the signal's letter and the number
/// of the bit within the signal, so that byte order can be read off. Free bits are points, shared bits carry a star; each
/// branch of a multiplexer has a grid of its own.
/// </summary>
public static class BitGrid
{
    private const int Width = 80;
    private const int CellWidth = 6;
    private const int LongestFreeStretch = 3;
    private const string Letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

    /// <summary>The drawing, each line ended by a line feed.</summary>
    /// <param name="message">A definition that the loader accepted.</param>
    /// <param name="unicode">Whether lines may be drawn with box characters; otherwise plain ASCII (names apart).</param>
    public static string Draw(MessageDefinition message, bool unicode)
    {
        ArgumentNullException.ThrowIfNull(message);
        var pen = unicode ? new Pen('│', '─', '·', "×", "…") : new Pen('|', '-', '.', "x", "~");
        var fields = Fields(message);
        var rows = message.Length ?? (fields.Count == 0 ? 0 : fields.Max(field => field.Bits.LastByte) + 1);
        var text = new StringBuilder();
        Title(text, message, pen);
        Grid(text, [.. fields.Where(field => field.When.Length == 0)], [.. fields.Where(field => field.When.Length > 0)], 0, rows - 1, pen);
        foreach (var branch in fields.Where(field => field.When.Length > 0).GroupBy(field => field.When))
        {
            text.Append('\n').Append(Cut($"when {branch.Key}:", Width, pen)).Append('\n');
            var always = fields.Where(field => field.When.Length == 0);
            Grid(text, [.. always, .. branch], [], branch.Min(field => field.Bits.FirstByte), branch.Max(field => field.Bits.LastByte), pen);
        }

        Legend(text, fields, message, pen);
        return text.ToString();
    }

    private static List<GridField> Fields(MessageDefinition message)
    {
        var fields = new List<GridField>();
        foreach (var signal in message.Signals)
        {
            fields.Add(new GridField(Letter(fields.Count), signal.Name, signal.Field, Condition(signal), signal));
        }

        // A signal that is just the counter or the checksum already shows its bits.
        if (message.Counter is { } counter && message.Signals.All(signal => signal.Field != counter.Field))
        {
            fields.Add(new GridField("#", "(counter)", counter.Field, "", null));
        }

        if (message.Checksum is { } checksum && message.Signals.All(signal => signal.Field != checksum.Field))
        {
            fields.Add(new GridField("=", "(checksum)", checksum.Field, "", null));
        }

        return fields;
    }

    // 52 letters, then pairs of them: a CAN FD payload has at most 512 bits.
    private static string Letter(int index) => index < Letters.Length
        ? Letters[index].ToString()
        : $"{Letters[(index / Letters.Length - 1) % Letters.Length]}{Letters[index % Letters.Length]}";

    private static string Condition(SignalDefinition signal) => string.Join(" and ", signal.When.Select(condition =>
        $"{condition.Selector} = {string.Join(", ", condition.Values.Select(range => range.From == range.To ? $"{range.From}" : $"{range.From}..{range.To}"))}"));

    private static void Title(StringBuilder text, MessageDefinition message, Pen pen)
    {
        var key = message.Key switch
        {
            MessageKey.Identifier identifier => identifier.Id.ToString(),
            MessageKey.ParameterGroup { Source: { } source } group => $"pgn {group.Pgn} from 0x{source:X2}",
            MessageKey.ParameterGroup group => $"pgn {group.Pgn}",
            _ => "",
        };
        var length = message.Length is { } bytes ? $", {bytes} byte{(bytes == 1 ? "" : "s")}" : "";
        var every = message.Timing.Every is { } period ? $", every {period}" : "";
        text.Append(Cut($"{message.Name}  {key}{(message.Bus is null ? "" : $" on {message.Bus}")}{length}{every}", Width, pen)).Append("\n\n");
    }

    private static void Grid(StringBuilder text, List<GridField> fields, List<GridField> elsewhere, int first, int last, Pen pen)
    {
        if (last < first)
        {
            return;
        }

        text.Append("byte ");
        for (var bit = 7; bit >= 0; bit--)
        {
            text.Append(bit.ToString().PadLeft(4).PadRight(CellWidth));
        }

        while (text[^1] == ' ')
        {
            text.Length--;
        }

        text.Append('\n');
        var cells = new Dictionary<BitPosition, (GridField Field, int Bit, int Count)>();
        foreach (var field in fields)
        {
            for (var n = 0; n < field.Bits.Length; n++)
            {
                var at = field.Bits.At(n);
                var number = field.Bits.Order == ByteOrder.Big ? field.Bits.Length - 1 - n : n;
                cells[at] = cells.TryGetValue(at, out var there) ? (there.Field, there.Bit, there.Count + 1) : (field, number, 1);
            }
        }

        var branched = elsewhere.SelectMany(field => Enumerable.Range(0, field.Bits.Length).Select(field.Bits.At)).ToHashSet();
        for (var inByte = first; inByte <= last; inByte++)
        {
            var free = inByte;
            while (free <= last && Enumerable.Range(0, 8).All(bit => new BitPosition(free, bit) is var at && !cells.ContainsKey(at) && !branched.Contains(at)))
            {
                free++;
            }

            // A long empty stretch is one line: a payload of 64 bytes is often used by its first few.
            if (free - inByte > LongestFreeStretch)
            {
                text.Append($"{inByte,4}{pen.Upright}   to byte {free - 1}: free\n");
                inByte = free - 1;
                continue;
            }

            Row(text, inByte, cells, branched, pen);
        }
    }

    private static void Row(StringBuilder text, int inByte, Dictionary<BitPosition, (GridField Field, int Bit, int Count)> cells, HashSet<BitPosition> branched, Pen pen)
    {
        text.Append(inByte.ToString().PadLeft(4)).Append(pen.Upright);
        for (var bit = 7; bit >= 0; bit--)
        {
            var at = new BitPosition(inByte, bit);
            var has = cells.TryGetValue(at, out var cell);
            var content = has ? $"{cell.Field.Letter}{cell.Bit}{(cell.Count > 1 ? "*" : "")}" : branched.Contains(at) ? "?" : pen.Point.ToString();
            text.Append(content.PadLeft(4).PadRight(CellWidth - 1));

            // A line between two cells says that they are not of one signal.
            var next = new BitPosition(inByte, bit - 1);
            var nextField = cells.TryGetValue(next, out var right) ? right.Field : null;
            var joined = bit > 0 && ReferenceEquals(has ? cell.Field : null, nextField);
            text.Append(joined ? ' ' : pen.Upright);
        }

        text.Append('\n');
    }

    private static void Legend(StringBuilder text, List<GridField> fields, MessageDefinition message, Pen pen)
    {
        if (fields.Count == 0)
        {
            text.Append("no signals\n");
            return;
        }

        const int nameWidth = 26;
        text.Append($"\n   {"signal".PadRight(nameWidth)} {"msb-lsb",-10}{"bits",4} {"order",-7}value\n").Append(pen.Level, Width).Append('\n');
        foreach (var field in fields)
        {
            var bits = field.Bits;
            var order = bits.FirstByte == bits.LastByte ? "" : bits.Order == ByteOrder.Big ? "big" : "little";
            var line = $"{field.Letter,-2} {Cut(field.Name, nameWidth, pen).PadRight(nameWidth)} {$"{bits.MostSignificant}-{bits.LeastSignificant}",-10}{bits.Length,4} {order,-7}{Value(field, message, pen)}";
            text.Append(Cut(line.TrimEnd(), Width, pen)).Append('\n');
        }

        if (fields.Any(field => field.When.Length > 0))
        {
            text.Append("?  depends on the selectors, drawn by branch\n");
        }

        foreach (var (left, right) in Shared(message))
        {
            text.Append(Cut($"*  {left} and {right} share bits", Width, pen)).Append('\n');
        }
    }

    private static string Value(GridField field, MessageDefinition message, Pen pen)
    {
        if (field.Signal is not { } signal)
        {
            return field.Letter == "#"
                ? $"step {message.Counter!.Step} modulo {message.Counter.Modulo}"
                : message.Checksum!.Algorithm;
        }

        var type = signal.Encoding switch { SignalEncoding.Signed => "signed ", SignalEncoding.Float => "float ", SignalEncoding.Text => "text ", SignalEncoding.PackedDecimal => "bcd ", _ => "" };
        var scale = signal.Scale is 1 ? "" : $"{pen.Times}{Number(signal.Scale)} ";
        var offset = signal.Offset is 0 ? "" : $"{(signal.Offset < 0 ? "-" : "+")}{Number(Math.Abs(signal.Offset))} ";
        var names = signal.Values.Count > 0 ? $"{signal.Values.Count} name{(signal.Values.Count == 1 ? "" : "s")} " : "";
        return $"{type}{scale}{offset}{signal.Unit} {names}".TrimEnd();
    }

    private static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static IEnumerable<(string, string)> Shared(MessageDefinition message)
    {
        var branches = new Branches(message.Signals);
        for (var i = 0; i < message.Signals.Count; i++)
        {
            var own = new HashSet<BitPosition>(Enumerable.Range(0, message.Signals[i].Field.Length).Select(message.Signals[i].Field.At));
            for (var j = 0; j < i; j++)
            {
                var other = message.Signals[j].Field;
                if (branches.CanMeet(i, j) && Enumerable.Range(0, other.Length).Any(n => own.Contains(other.At(n))))
                {
                    yield return (message.Signals[j].Name, message.Signals[i].Name);
                }
            }
        }
    }

    private static string Cut(string text, int width, Pen pen)
    {
        var clean = CleanText.Clean(text);
        return clean.Length <= width ? clean : clean[..(width - 1)] + pen.More;
    }

    private sealed record Pen(char Upright, char Level, char Point, string Times, string More);

    private sealed record GridField(string Letter, string Name, BitField Bits, string When, SignalDefinition? Signal);
}
