using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>One message: what it is, when it comes, its payload bit by bit, its signals; and a field of it that is being defined.</summary>
internal sealed class MessagePage(Desk desk) : ScreenPage(desk)
{
    // From here on the bytes of a long payload stand in two columns.
    private const int RoomForTwo = (2 * BitPainter.Width) + 38;

    // A title and one row below it.
    private const int FewestFoundRows = 2;

    // On a low screen the bits go before the gaps.
    private const int LeastGapRows = 5, MostGapRows = 9, LeastForGaps = 13;

    private static readonly KeyHint[] looking =
    [
        new("Arrows", "bit", 1), new("d", "define", 1), new("PgUp Dn", "signals", 4), new("n", "mark", 5), new("A", "alarm", 4), new("Space", "stop", 3, ForReplay: true),
        new("sr", "step", 4, ForReplay: true), new("f", "finding", 6, ForReplay: true), new("i", "units", 5), new("Esc", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    private static readonly KeyHint[] defining =
    [
        new("Arrows", "reach", 1), new("d", "from here", 2), new("Tab", "setting", 1), new("Enter", "change", 1), new("w", "write", 1), new("Space", "stop", 4, ForReplay: true),
        new("sr", "step", 5, ForReplay: true), new("Esc", "give up", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    private readonly FieldKeys fields = new(desk);
    private readonly BitLegend legend = new();
    private readonly BitChanges changes = new();
    private MessageRequest? request;
    private BitPosition shown;
    private int bytes = 8;
    private int firstByte;

    /// <inheritdoc/>
    public override Page Kind => Page.Message;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints => Choice.Field is null ? looking : defining;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyBinding> OwnKeys => Keys.OfMessage;

    /// <inheritdoc/>
    public override bool HasFilter => false;

    /// <inheritdoc/>
    public override MessageRequest? Message => request;

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        var area = layout.Body;
        if (Model.Message is not { } message)
        {
            request = null;
            var none = scene.Pen(area, 0);
            none.Write(" not seen at this moment of the recording; Esc goes back", Ink.Note);
            return;
        }

        var plan = Model.PlanOf(message);
        request = message.Id is { } id ? new MessageRequest(message.Bus, id, Choice.Field?.Bare) : null;
        var reading = Model.Snapshot.Message is { } said && said.Request.Id == message.Id && said.Request.Bus == message.Bus ? said : null;
        Look(message, plan);
        MessageHeadPainter.Paint(scene, area.First(MessageHeadPainter.Rows), message, plan);

        var lower = area.Below(MessageHeadPainter.Rows);
        var grids = bytes > 8 && area.Width >= RoomForTwo ? 2 : 1;
        var gapRows = lower.Height < LeastForGaps ? 0 : Math.Clamp(lower.Height / 3, LeastGapRows, MostGapRows);
        var left = lower with { Width = grids * BitPainter.Width };
        var isRuled = grids == 1 && 2 * bytes <= lower.Height - LeastGapRows;
        var rows = isRuled ? (2 * bytes) - 1 : Math.Min((bytes + grids - 1) / grids, Math.Max(1, lower.Height - gapRows - 1));
        var grid = left.First(rows + 1);
        firstByte = isRuled ? 0 : Scroll(grids * rows);
        BitPainter.Paint(scene, grid, message, legend, changes, bytes, firstByte, isRuled);
        var below = left.Below(grid.Height);
        GapPainter.Paint(scene, below.First(MostGapRows), reading?.Gaps);

        var right = lower with { Left = left.Right + 1, Width = lower.Width - left.Width - 1 };
        var formRows = Choice.Field is { } draft ? Math.Min(FieldPainter.Rows(draft, right.Width), right.Height) : 0;
        if (Choice.Field is { } field)
        {
            FieldPainter.Paint(scene, right.First(formRows), field, message, reading?.Request == request ? reading?.Range : null);
        }

        var list = right.Below(formRows);
        var found = FindingLines.Count(scene, message, list.Width);
        var foundRows = found == 0 || list.Height < 2 * FewestFoundRows ? 0 : Math.Min(found + 1, list.Height / 2);

        // Behind a title, the signals, and a blank row.
        var signalRows = Math.Min(list.Height - foundRows, foundRows == 0 ? list.Height : 2 + Math.Max(1, plan?.Signals.Count ?? 0));
        Signals(scene, list.First(signalRows), message, plan);
        Found(scene, list.Below(signalRows).First(foundRows), message, found);
    }

    /// <inheritdoc/>
    public override void Move(int rows) => Choice.Scroll[2] = Math.Max(0, Choice.Scroll[2] + rows);

    /// <inheritdoc/>
    public override bool Do(KeyAction action)
    {
        if (Choice.Field is { } draft)
        {
            draft.Fault = null;
        }

        switch (action)
        {
            case KeyAction.BitLeft: Step(1); return true;
            case KeyAction.BitRight: Step(-1); return true;
            case KeyAction.Up: To(Choice.Bit with { Byte = Choice.Bit.Byte - 1 }); return true;
            case KeyAction.Down: To(Choice.Bit with { Byte = Choice.Bit.Byte + 1 }); return true;
            case KeyAction.Back: Back(); return true;
            case KeyAction.AlarmOnThis when Model.Message is { } message: AlarmKeys.OnThis(Choice, message, Desk.Hands); return true;
            case KeyAction.BeginField when Model.Message is { } message: fields.Begin(message); return true;
            case KeyAction.SettingAfter: Choice.Field?.Choose(1); return true;
            case KeyAction.SettingBefore: Choice.Field?.Choose(-1); return true;
            case KeyAction.Into when Choice.Field is { } changed: fields.Change(changed); return true;
            case KeyAction.WriteField when Choice.Field is { } ready && Model.Message is { } message: fields.Write(ready, message); return true;
            default: return false;
        }
    }

    private void Back()
    {
        if (Choice.Field is not null)
        {
            Choice.Field = null;
            return;
        }

        Choice.Page = Choice.BeforeMessage;
    }

    // Bit 7 of a byte has bit 0 of the byte before to its left.
    private void Step(int toLeft)
    {
        var along = (Choice.Bit.Byte * 8) + 7 - Choice.Bit.Bit - toLeft;
        To(along < 0 ? new BitPosition(-1, 0) : new BitPosition(along / 8, 7 - (along % 8)));
    }

    private void To(BitPosition bit)
    {
        if (bit.Byte < 0 || bit.Byte >= bytes)
        {
            Desk.Hands.Say(bit.Byte < 0 ? "the payload begins with byte 0" : $"the payload ends with byte {bytes - 1}", Ink.Note);
            return;
        }

        if (Choice.Field?.Reach(bit) == false)
        {
            Desk.Hands.Say($"a number has at most {FieldDraft.MostBits} bits", Ink.Note);
            return;
        }

        Choice.Bit = bit;
    }

    // Takes in what the message is at this moment, for the grid and the list.
    private void Look(MessageHealth message, MessagePlan? plan)
    {
        var key = Screens.MessageKey.Of(message);
        legend.Take(plan, message.Payload.Span, Choice.Field?.Bits);
        changes.Take(key, message.Payload.Span, Model.Health.Now ?? FrameTime.Never);
        bytes = Math.Clamp(Math.Max(message.Payload.Length, legend.Bytes), 1, Payload.Capacity);
        Choice.Bit = Choice.Bit.Byte < bytes ? Choice.Bit : Choice.Bit with { Byte = bytes - 1 };
    }

    private int Scroll(int room)
    {
        var at = Choice.Bit.Byte;
        var first = at < firstByte ? at : at >= firstByte + room ? at - room + 1 : firstByte;
        return Math.Clamp(first, 0, Math.Max(0, bytes - room));
    }

    private void Signals(Scene scene, Area area, MessageHealth message, MessagePlan? plan)
    {
        var rows = plan?.Signals.Count ?? 0;
        var room = Math.Max(0, area.Height - 1);
        var under = legend.RowAt(Choice.Bit);

        // The list follows the cursor, and stays where it was scrolled to while the cursor stays.
        var first = Choice.Bit != shown && under >= 0
            ? scene.FirstRow(2, under, rows, room)
            : Choice.Scroll[2] = Math.Clamp(Choice.Scroll[2], 0, Math.Max(0, rows - room));
        shown = Choice.Bit;
        PageRows = Math.Max(1, room);
        Title(scene, scene.Pen(area, 0), under < 0 ? null : plan?.Signals[under].Definition, (first, rows, room));
        for (var row = 0; row < room && first + row < rows; row++)
        {
            var index = first + row;
            var pen = scene.Pen(area.Below(1), row);
            pen.Put(index == under ? scene.Marks.Chosen : ' ', Ink.Key);
            pen.Put(BitLegend.LetterOf(index), Ink.Note);
            DetailPainter.Signal(scene, ref pen, message, plan!, index, 2 + DetailPainter.NameWidth(plan!, area.Width - 4));
        }

        if (rows == 0 && room > 0 && Choice.Field is null)
        {
            var none = scene.Pen(area.Below(1), 0);
            none.Write("  no signal is defined: ", Ink.Quiet);
            none.Put('d', Ink.Key);
            none.Write(" begins one", Ink.Quiet);
        }
    }

    // ─ found ─ and below it whole sentences, as many as fit.
    private static void Found(Scene scene, Area area, MessageHealth message, int lines)
    {
        if (area.IsEmpty)
        {
            return;
        }

        var title = scene.Pen(area, 0);
        scene.Title(ref title, "Found", isHere: false, 0, lines, lines);
        var room = area.Height - 1;
        FindingLines.Paint(scene, area.Below(1).First(lines > room ? room - 1 : room), message, 0);
        if (lines > room)
        {
            var last = scene.Pen(area, area.Height - 1);
            last.Write("  and ", Ink.Quiet);
            last.Figure(lines - (room - 1), "0", Ink.Quiet);
            last.Write(" lines more, on the home screen", Ink.Quiet);
        }
    }

    // ─ at 3.5 EngineSpeed ─
    private void Title(Scene scene, Pen pen, SignalDefinition? signal, (int First, int Rows, int Room) list)
    {
        pen.Put(scene.Marks.Rule, Ink.Quiet);
        pen.Write(" at ", Ink.Quiet);
        pen.Figure(Choice.Bit.Byte, "0", Ink.Key);
        pen.Put('.', Ink.Key);
        pen.Figure(Choice.Bit.Bit, "0", Ink.Key);
        pen.Put(' ');
        pen.Write(signal?.Name ?? legend.At(Choice.Bit) switch { BitLegend.Counter => "counter", BitLegend.Checksum => "checksum", _ => "no signal" }, signal is null ? Ink.Quiet : Ink.Strong, pen.Room - 10);
        pen.Put(' ');
        if (list.Rows > list.Room && list.Room > 0)
        {
            pen.Figure(list.First + 1, "0", Ink.Quiet);
            pen.Put('-', Ink.Quiet);
            pen.Figure(Math.Min(list.Rows, list.First + list.Room), "0", Ink.Quiet);
            pen.Write(" of ", Ink.Quiet);
            pen.Figure(list.Rows, "0", Ink.Quiet);
            pen.Put(' ');
        }

        pen.Rule();
    }
}
