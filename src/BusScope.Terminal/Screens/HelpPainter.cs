using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The help page: every key, every mark, and the caution. Fits 80x24 as a whole and scrolls where there is less.</summary>
internal static class HelpPainter
{
    private static readonly string[] Cautions =
    [
        "Readings from the bus are no substitute for a gauge. Before anybody cranks,",
        "launches or runs wheels: car secured, hands and people clear. Local law and",
        "licensed practice come first.",
    ];

    private static readonly MessageState[] States =
        [MessageState.Fresh, MessageState.Late, MessageState.Stale, MessageState.Missing, MessageState.Awaited, MessageState.Idle];

    /// <summary>Paints as much as fits, from the row that was scrolled to.</summary>
    public static void Paint(Scene scene, Area area)
    {
        var keys = KeyLines();
        var rows = keys.Count + 2 + 1 + Cautions.Length;
        var first = scene.Choice.Scroll[3] = Math.Clamp(scene.Choice.Scroll[3], 0, Math.Max(0, rows - area.Height));
        for (var row = 0; row < area.Height; row++)
        {
            var pen = scene.Pen(area, row);
            var line = first + row;
            var rest = line - keys.Count;
            if (rest < 0)
            {
                Key(scene, ref pen, keys[line]);
            }
            else if (rest < 3)
            {
                Legend(scene, ref pen, rest);
            }
            else if (rest - 3 < Cautions.Length)
            {
                pen.Put(' ');
                pen.Write(Cautions[rest - 3], Ink.Wary);
            }
        }
    }

    // Keys of one meaning share a line.
    private static List<(string Shown, string Meaning, bool ForReplay)> KeyLines()
    {
        var lines = new List<(string Shown, string Meaning, bool ForReplay)>();
        foreach (var key in Keys.All)
        {
            if (lines.Count > 0 && lines[^1].Meaning == key.Meaning)
            {
                lines[^1] = (lines[^1].Shown + " " + key.Shown, key.Meaning, key.ForReplay);
            }
            else
            {
                lines.Add((key.Shown, key.Meaning, key.ForReplay));
            }
        }

        return lines;
    }

    private static void Key(Scene scene, ref Pen pen, (string Shown, string Meaning, bool ForReplay) key)
    {
        pen.Put(' ');
        pen.Write(key.Shown, Ink.Key);
        pen.To(13);
        pen.Write(key.Meaning);
        if (key.ForReplay && !scene.IsReplay)
        {
            pen.Write(" (recordings)", Ink.Quiet);
        }
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
