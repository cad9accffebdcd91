using BusScope.Health;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>The help page: every key and the caution, which fit 80x24, then every mark; it scrolls where there is less room.</summary>
internal sealed class HelpPage(Desk desk) : ScreenPage(desk)
{
    // A rule, the states, the other marks, and what the filter and the alarm go by.
    private const int Legends = 6;

    private const string Caution = "Readings from the bus are no substitute for a gauge. Before anybody cranks, launches or runs wheels: "
        + "car secured, hands and people clear. Local law and licensed practice come first.";

    // Two columns of keys, each with room for the longest meaning.
    private const int LeastForTwo = 80;

    private static readonly MessageState[] States =
        [MessageState.Fresh, MessageState.Late, MessageState.Stale, MessageState.Missing, MessageState.Awaited, MessageState.Idle];

    /// <inheritdoc/>
    public override Page Kind => Page.Help;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Up Dn", "line", 2), new("?", "back", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    public override bool HasFilter => false;

    /// <inheritdoc/>
    public override void Move(int rows) => Choice.Scroll[3] = Math.Max(0, Choice.Scroll[3] + rows);

    /// <summary>Paints as much as fits, from the row that was scrolled to: the whole screen but for the bottom row.</summary>
    public override void Paint(Scene scene, Layout layout)
    {
        var whole = scene.Sheet.Whole;
        var area = whole.First(whole.Height - 1);
        PageRows = Math.Max(1, layout.Body.Height - 1);
        var keys = KeyLines(Desk.Of(Choice.BeforeHelp).OwnKeys, scene.IsReplay);
        var columns = area.Width >= LeastForTwo ? 2 : 1;
        var keyRows = (keys.Count + columns - 1) / columns;
        var half = Math.Clamp(area.Width / 2, 40, 50);
        var cautions = Wrap.Lines(Caution, CautionWidth(area));
        var rows = keyRows + Legends + cautions;
        var first = scene.Choice.Scroll[3] = Math.Clamp(scene.Choice.Scroll[3], 0, Math.Max(0, rows - area.Height));
        for (var row = 0; row < area.Height; row++)
        {
            // Where keys take more rows than the screen has, the caution comes before them.
            var line = first + row - (columns == 1 ? cautions : 0);
            var rest = line < 0 ? line + cautions : line - keyRows + (columns == 1 ? cautions : 0);
            var pen = scene.Pen(area, row);
            if (line >= 0 && line < keyRows)
            {
                Key(scene.Pen(columns == 1 ? area : area with { Width = half }, row), keys[line]);
                if (columns == 2 && line + keyRows < keys.Count)
                {
                    Key(scene.Pen(area with { Left = area.Left + half, Width = area.Width - half }, row), keys[line + keyRows]);
                }
            }
            else if (rest < cautions)
            {
                pen.Put(' ');
                pen.Write(CautionLine(rest, CautionWidth(area)), Ink.Wary);
            }
            else if (rest - cautions < Legends)
            {
                Legend(scene, ref pen, rest - cautions);
            }
        }
    }

    private static int CautionWidth(Area area) => Math.Min(78, area.Width - 2);

    private static ReadOnlySpan<char> CautionLine(int line, int width)
    {
        var rest = Caution.AsSpan();
        for (; line > 0; line--)
        {
            _ = Wrap.Take(ref rest, width);
        }

        return Wrap.Take(ref rest, width);
    }

    // Keys of the page that help was asked on come first, instead of their usual meaning. The keys of a pair share a line; a live
    // session has no use for those of recordings.
    private static List<(string Shown, string Meaning)> KeyLines(IReadOnlyList<KeyBinding> own, bool isReplay)
    {
        var lines = new List<(string Shown, string Meaning)>();
        foreach (var key in own.Concat(Keys.All.Where(key => !own.Any(other => other.Shown == key.Shown))))
        {
            if (key.ForReplay && !isReplay)
            {
                continue;
            }

            if (key.IsSecond && lines.Count > 0)
            {
                lines[^1] = ($"{lines[^1].Shown} {key.Shown}", $"{lines[^1].Meaning}, {key.Meaning}");
            }
            else
            {
                lines.Add((key.Shown, key.Meaning));
            }
        }

        return lines;
    }

    private static void Key(Pen pen, (string Shown, string Meaning) key)
    {
        pen.Put(' ');
        pen.Write(key.Shown, Ink.Key);
        pen.To(11);
        pen.Write(key.Meaning);
    }

    private static void Legend(Scene scene, ref Pen pen, int line)
    {
        if (line == 0)
        {
            pen.Rule();
            return;
        }

        pen.Put(' ');
        if (line == 1)
        {
            foreach (var state in States)
            {
                pen.Put(scene.Marks.Of(state), Marks.InkOf(state));
                pen.Put(' ');
                pen.Write(Marks.Word(state), Marks.InkOf(state));
                pen.Skip(2);
            }
        }
        else if (line == 3)
        {
            pen.Write("Filter: words of name, identifier, module, bus, state that must all be found.", Ink.Quiet);
        }
        else if (line == 4)
        {
            pen.Write("Order: as defined, worst, by name, by identifier, most often first.", Ink.Quiet);
        }
        else if (line == 5)
        {
            pen.Write("Alarm: bell and a flashing word; any key quiets it; ", Ink.Quiet);
            pen.Put('a', Ink.Key);
            pen.Write(" marks its messages.", Ink.Quiet);
        }
        else
        {
            pen.Put('*', Ink.Changed);
            pen.Write(" byte just changed   ");
            pen.Write("bus off", Ink.Bad);
            pen.Write(" whole bus silent   ");
            pen.Put(scene.Marks.Of(FindingSeverity.Fault), Ink.Bad);
            pen.Write(" name: look at its signals");
        }
    }
}
