using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The field that is being defined: its bits, its value and range, and what can be set.</summary>
internal static class FieldPainter
{
    private const int NameWidth = 9;

    /// <summary>Rows that it would like.</summary>
    public static int Rows(FieldDraft draft, int width) => 4 + draft.Settings.Length + (draft.Fault is { } fault ? Lines(fault, width) : 0);

    /// <summary>Paints it.</summary>
    public static void Paint(Scene scene, Area area, FieldDraft draft, MessageHealth message, FieldRange? range)
    {
        var title = scene.Pen(area, 0);
        title.Put(scene.Marks.Rule, Ink.Quiet);
        title.Write(" + new signal ", Ink.Strong);
        title.Rule();
        Bits(scene.Pen(area, 1), draft.Bits);
        Value(scene, scene.Pen(area, 2), draft, message);
        Range(scene.Pen(area, 3), draft, range);
        var row = 4;
        foreach (var setting in draft.Settings)
        {
            var pen = scene.Pen(area, row++);
            var isChosen = setting == draft.Chosen;
            pen.Put(isChosen ? scene.Marks.Chosen : ' ', Ink.Key);
            pen.Write(Word(setting), isChosen ? Ink.Key : Ink.Quiet, NameWidth - 2);
            pen.To(NameWidth);
            Setting(ref pen, draft, setting);
        }

        Fault(scene, area.Below(row), draft.Fault);
    }

    private static void Bits(Pen pen, BitField bits)
    {
        Label(ref pen, "bits");
        Position(ref pen, bits.MostSignificant);
        pen.Write(" to ", Ink.Quiet);
        Position(ref pen, bits.LeastSignificant);
        pen.Write(", ", Ink.Quiet);
        pen.Figure(bits.Length, "0");
        pen.Write(bits.Length == 1 ? " bit" : " bits", Ink.Quiet);
    }

    private static void Position(ref Pen pen, BitPosition bit)
    {
        pen.Figure(bit.Byte, "0");
        pen.Put('.');
        pen.Figure(bit.Bit, "0");
    }

    private static void Value(Scene scene, Pen pen, FieldDraft draft, MessageHealth message)
    {
        Label(ref pen, "value");
        var sample = draft.Plan.Read(0, message.Payload.Span);
        if (sample.Quality == SampleQuality.Absent)
        {
            pen.Write("the payload does not reach so far", Ink.Quiet);
            return;
        }

        var form = Units.Form(draft.Unit, scene.Choice.IsUs);
        pen.Value(sample.Value, Values.Decimals(draft.Signal), form, Ink.Strong);
        pen.Put(' ');
        pen.Write(form.Unit, Ink.Quiet);
        pen.Write("  raw 0x", Ink.Quiet);
        pen.Figure(sample.Raw, "X", Ink.Quiet);
    }

    private static void Range(Pen pen, FieldDraft draft, FieldRange? range)
    {
        Label(ref pen, "so far");
        if (range is null)
        {
            pen.Put('-', Ink.Quiet);
            return;
        }

        // The range is followed in raw values, so that another scale or offset does not lose it.
        var (one, other) = ((range.Smallest * draft.Scale) + draft.Offset, (range.Largest * draft.Scale) + draft.Offset);
        var form = Units.Form(null, isUs: false);
        pen.Value(Math.Min(one, other), Values.Decimals(draft.Signal), form, Ink.Plain);
        pen.Write(" to ", Ink.Quiet);
        pen.Value(Math.Max(one, other), Values.Decimals(draft.Signal), form, Ink.Plain);
        pen.Write(" in ", Ink.Quiet);
        pen.Figure(range.Frames, "#,0", Ink.Quiet);
        pen.Write(range.Frames == 1 ? " frame" : " frames", Ink.Quiet);
    }

    private static void Setting(ref Pen pen, FieldDraft draft, FieldSetting setting)
    {
        switch (setting)
        {
            case FieldSetting.Order: pen.Write(draft.Order == ByteOrder.Big ? "big: high byte first" : "little: low byte first"); break;
            case FieldSetting.Sign: pen.Write(draft.IsSigned ? "signed" : "unsigned"); break;
            case FieldSetting.Scale: pen.Figure(draft.Scale, "R"); break;
            case FieldSetting.Offset: pen.Figure(draft.Offset, "R"); break;
            case FieldSetting.Unit: Typed(ref pen, draft.Unit); break;
            case FieldSetting.Name: Typed(ref pen, draft.Name); break;
            case FieldSetting.Message: Typed(ref pen, draft.MessageName); break;
            default: Typed(ref pen, draft.File); break;
        }
    }

    private static void Typed(ref Pen pen, string text) => pen.Write(text.Length > 0 ? text : "-", text.Length > 0 ? Ink.Strong : Ink.Quiet);

    private static string Word(FieldSetting setting) => setting switch
    {
        FieldSetting.Order => "order",
        FieldSetting.Sign => "sign",
        FieldSetting.Scale => "scale",
        FieldSetting.Offset => "offset",
        FieldSetting.Unit => "unit",
        FieldSetting.Name => "name",
        FieldSetting.Message => "message",
        _ => "file",
    };

    private static void Label(ref Pen pen, string word)
    {
        pen.Put(' ');
        pen.Write(word, Ink.Quiet);
        pen.To(NameWidth);
    }

    private static int Lines(string text, int width) => (text.Length + Math.Max(1, width - 2) - 1) / Math.Max(1, width - 2);

    // Broken at blanks where there are any.
    private static void Fault(Scene scene, Area area, string? fault)
    {
        var rest = fault ?? "";
        for (var row = 0; row < area.Height && rest.Length > 0; row++)
        {
            var room = Math.Max(1, area.Width - 2);
            var cut = rest.Length <= room ? rest.Length : rest.LastIndexOf(' ', room) is var blank and > 0 ? blank : room;
            var pen = scene.Pen(area, row);
            pen.Put(row == 0 ? '!' : ' ', Ink.Wary);
            pen.Write(rest[..cut], Ink.Wary);
            rest = rest[cut..].TrimStart();
        }
    }
}
