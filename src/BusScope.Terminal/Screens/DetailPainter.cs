using BusScope.Health;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// The chosen message: its payload and its signals with value, unit, named value and what they are worth; without a definition, its bytes bit by bit.
/// What is found against it stands below them, and before them where it is wrong.
/// </summary>
internal static class DetailPainter
{
    private const int BarWidth = 22;

    /// <summary>Paints what fits under the title.</summary>
    public static void Paint(Scene scene, Area area)
    {
        if (scene.Model.Message is not { } message)
        {
            var empty = scene.Pen(area, 0);
            scene.Title(ref empty, Part.Details, "Signals", 0, 0, 0);
            return;
        }

        var plan = scene.Model.PlanOf(message);

        // Where changes are looked for, bits tell more than values.
        var hasSignals = plan is { Signals.Count: > 0 } && scene.Choice.Page != Page.Changed;
        var values = hasSignals ? plan!.Signals.Count : message.Payload.Length;
        var found = FindingLines.Count(scene, message, area.Width);
        var rows = values + found;
        var room = Math.Max(0, area.Height - 2);
        var first = scene.Choice.Scroll[2] = Math.Clamp(scene.Choice.Scroll[2], 0, Math.Max(0, rows - room));
        var title = scene.Pen(area, 0);
        scene.Title(ref title, Part.Details, message.Definition?.Name ?? message.Id?.ToString() ?? "Signals", first, rows, room);
        Payload(scene, area, message, hasSignals);
        var lines = area.Below(2);
        var isWrong = FindingLines.Any(scene.Model.Health, message);
        FindingLines.Paint(scene, lines, message, isWrong ? first : first - values);
        for (var row = 0; row < room; row++)
        {
            var value = first + row - (isWrong ? found : 0);
            if (value < 0 || value >= values)
            {
                continue;
            }

            var pen = scene.Pen(lines, row);
            if (hasSignals)
            {
                Signal(scene, ref pen, message, plan!, value, NameWidth(plan!, area.Width));
            }
            else
            {
                Bits(scene, ref pen, message, value);
            }
        }
    }

    private static void Payload(Scene scene, Area area, MessageHealth message, bool hasSignals)
    {
        var pen = scene.Pen(area, 1);
        pen.Put(' ');
        pen.Identifier(message.Id, Ink.Quiet);
        if (!hasSignals)
        {
            // Its bytes follow one by one.
            pen.Write("  frames ", Ink.Quiet);
            pen.Figure(message.Frames, "#,0", Ink.Quiet);
            return;
        }

        if (message.Payload.IsEmpty)
        {
            pen.Write(message.Frames == 0 ? " no frame yet" : " no payload", Ink.Quiet);
        }
        else
        {
            pen.Payload(scene, message);
        }

        if (pen.Room > 30)
        {
            pen.Write("  frames ", Ink.Quiet);
            pen.Figure(message.Frames, "#,0", Ink.Quiet);
            Fault(ref pen, "checksum wrong", message.ChecksumBad);
            Fault(ref pen, "counter skipped", message.CounterSkipped);
            Fault(ref pen, "counter repeated", message.CounterRepeated);
            Fault(ref pen, "wrong length", message.WrongLength);
            Fault(ref pen, "senders", message.Senders > 1 ? message.Senders : 0);
        }
    }

    private static void Fault(ref Pen pen, string name, long count)
    {
        if (count > 0 && pen.Room > name.Length + 8)
        {
            pen.Skip(2);
            pen.Write(name, Ink.Wary);
            pen.Put(' ');
            pen.Figure(count, "#,0", Ink.Wary);
        }
    }

    /// <summary>Columns for the names of a message's signals.</summary>
    public static int NameWidth(MessagePlan plan, int width)
    {
        var longest = 8;
        foreach (var signal in plan.Signals)
        {
            longest = Math.Max(longest, signal.Definition.Name.Length);
        }

        return Math.Min(longest, width >= 60 ? 28 : Math.Max(10, width - 19));
    }

    /// <summary>Writes a signal with its value.</summary>
    public static void Signal(Scene scene, ref Pen pen, MessageHealth message, MessagePlan plan, int index, int nameWidth)
    {
        var signal = plan.Signals[index];
        var definition = signal.Definition;
        var payload = message.Payload.Span;
        var sample = message.Frames == 0 ? new Sample(0, double.NaN, SampleQuality.Absent) : plan.Read(index, payload);
        var quality = sample.Quality == SampleQuality.Ok && message.State is MessageState.Stale ? SampleQuality.Stale : sample.Quality;
        var ink = Values.InkOf(quality);
        var form = Units.Form(definition.Unit, scene.Choice.IsUs);
        pen.Put(scene.Marks.Of(quality), ink);
        pen.Write(definition.Name, Ink.Plain, nameWidth);
        pen.To(nameWidth + 2);
        if (quality is SampleQuality.Absent or SampleQuality.NotAvailable or SampleQuality.Error)
        {
            pen.Write(Marks.Word(quality), ink);
        }
        else if (definition.Encoding == SignalEncoding.Text)
        {
            pen.Write(signal.Text(payload) ?? "", ink);
        }
        else if (signal.NameOf(sample.Raw) is { } name)
        {
            pen.Write(name, ink, pen.Room - 5);
            pen.Write(" =", Ink.Quiet);
            pen.Value(sample.Value, Values.Decimals(definition), form, Ink.Quiet);
        }
        else
        {
            pen.Value(sample.Value, Values.Decimals(definition), form, ink, 9);
            pen.Put(' ');
            pen.Write(form.Unit, Ink.Quiet);
            Place(scene, ref pen, sample.Value, definition, form, nameWidth);
        }

        if (quality is SampleQuality.OutOfRange or SampleQuality.Implausible or SampleQuality.Stale && pen.Room > 4)
        {
            pen.Put(' ');
            pen.Write(Marks.Word(quality), ink);
        }
    }

    // Where the value stands between the smallest and the largest that make sense.
    private static void Place(Scene scene, ref Pen pen, double value, SignalDefinition definition, UnitForm form, int nameWidth)
    {
        var from = nameWidth + 22;
        if (definition is not { Minimum: { } low, Maximum: { } high } || high <= low || pen.Column >= from || pen.Room - (from - pen.Column) < BarWidth + 26)
        {
            return;
        }

        pen.To(from);
        pen.Value(low, Values.Decimals(definition), form, Ink.Quiet, 8);
        pen.Put(' ');
        var at = (int)Math.Round(Math.Clamp((value - low) / (high - low), 0, 1) * (BarWidth - 1));
        pen.Put(scene.Marks.Rule, Ink.Quiet, at);
        pen.Put(scene.Marks.Here, Ink.Note);
        pen.Put(scene.Marks.Rule, Ink.Quiet, BarWidth - 1 - at);
        pen.Put(' ');
        pen.Value(high, Values.Decimals(definition), form, Ink.Quiet);
    }

    // Byte 2  0F  0000 1111, bits that ever changed in strong, in a byte that just changed as changed, and when it changed last.
    private static void Bits(Scene scene, ref Pen pen, MessageHealth message, int index)
    {
        var value = message.Payload.Span[index];
        var changed = index < message.ChangedBits.Length ? message.ChangedBits.Span[index] : (byte)0;
        pen.Figure(index, "0", Ink.Quiet, 2);
        var since = PayloadPainter.SinceChange(scene, message, index);
        var isNew = PayloadPainter.ChangedLately(scene, message, index);
        pen.Byte(value, isNew);
        pen.Put(' ');
        for (var bit = 7; bit >= 0; bit--)
        {
            pen.Put((value >> bit & 1) == 1 ? '1' : '0', (changed >> bit & 1) == 0 ? Ink.Quiet : isNew ? Ink.Changed : Ink.Strong);
            pen.Skip(bit == 4 ? 1 : 0);
        }

        pen.Put(' ');
        pen.Span(changed == 0 ? null : since, Ink.Quiet);
        if (pen.Room > 24)
        {
            pen.Figure(value, "0", Ink.Plain, 6);
            pen.Write(changed == 0 ? "  never changed" : "", Ink.Quiet);
        }
    }
}
