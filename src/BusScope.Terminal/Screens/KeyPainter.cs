using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The keys on the bottom row; while a filter is in use, the filter.</summary>
internal static class KeyPainter
{
    private static readonly (string Keys, string Word, bool ForReplay)[] Short =
    [
        ("Tab", "part", false),
        ("Up Dn", "line", false),
        ("/", "filter", false),
        ("o", "order", false),
        ("e", "events", false),
        ("Space", "stop", true),
        ("sS", "step", true),
        ("+-", "speed", true),
        ("?", "help", false),
        ("q", "quit", false),
    ];

    /// <summary>Paints the bottom row.</summary>
    public static void Bottom(Scene scene, Area area)
    {
        var pen = scene.Pen(area, 0);
        var choice = scene.Choice;
        if (choice.IsTyping || choice.Filter.Length > 0)
        {
            pen.Write(" filter: ", Ink.Note);
            pen.Write(choice.Filter, Ink.Strong);
            pen.Put(choice.IsTyping ? '_' : ' ', Ink.Key);
            pen.Skip(1);
            pen.Write(choice.IsTyping ? "Enter keep  Esc none" : "Esc none  / change", Ink.Quiet);
            if (choice.IsTyping)
            {
                return;
            }

            pen.Skip(1);
        }

        foreach (var (keys, word, forReplay) in Short)
        {
            // The order waits on the help page where a recording's keys take its place.
            // Beside a filter there is room for the last two.
            var isLeftOut = (choice.Filter.Length > 0 && keys is not ("?" or "q")) || (forReplay ? !scene.IsReplay : keys == "o" && scene.IsReplay && area.Width < 100);
            if (isLeftOut || pen.Room < keys.Length + word.Length + 2)
            {
                continue;
            }

            pen.Put(' ');
            pen.Write(keys, Ink.Key);
            pen.Put(' ');
            pen.Write(word, Ink.Quiet);
        }
    }
}
