using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The bottom row: the keys of the page; or what is typed, what was just done, or why the alarm sounds.</summary>
internal static class KeyPainter
{
    private const int LeastNeeded = 7;

    // In the order in which they stand; the rank says which go first where there is no room for all.
    private static readonly Short[] Home =
    [
        new("Tab", "part", 3), new("Up Dn", "line", 7), new("/", "filter", 2), new("b", "buses", 1), new("e", "events", 1), new("u", "unknown", 3),
        new("c", "changed", 3), new("o", "order", 6), new("n", "mark", 5), new("a", "alarm", 4), new("Space", "stop", 2, ForReplay: true),
        new("sS", "step", 3, ForReplay: true), new("+-", "speed", 3, ForReplay: true), new("?", "help", 0), new("q", "quit", 0),
    ];

    private static readonly Short[] Events =
    [
        new("Up Dn", "line", 1), new("Enter", "go to it", 1), new("/", "filter", 1), new("n", "mark", 1), new("a", "alarm", 2), new("Space", "stop", 3, ForReplay: true),
        new("e", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    private static readonly Short[] Buses =
    [
        new("Up Dn", "line", 3), new("e", "events", 2), new("n", "mark", 4), new("a", "alarm", 4), new("p", "screen shot", 4), new("Space", "stop", 2, ForReplay: true),
        new("+-", "speed", 3, ForReplay: true), new("b", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    private static readonly Short[] Messages =
    [
        new("Up Dn", "line", 1), new("Tab", "part", 3), new("Enter", "go to it", 1), new("/", "filter", 1), new("o", "order", 2), new("A", "alarm", 4),
        new("Space", "stop", 3, ForReplay: true), new("Esc", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <summary>Paints the bottom row.</summary>
    public static void Bottom(Scene scene, Area area)
    {
        var pen = scene.Pen(area, 0);
        var choice = scene.Choice;
        if (scene.Alarm is { } reason)
        {
            pen.Write(" ALARM ", scene.IsAlarmBright ? Ink.BadBanner : Ink.Bad);
            pen.Put(' ');
            pen.Write(reason, Ink.Bad, pen.Room - 20);
            pen.Write("  any key quiets it", Ink.Key);
            return;
        }

        if (choice.Typing == Typing.Note)
        {
            Note(scene, ref pen);
            return;
        }

        if (choice.Typing == Typing.Filter || (choice.Filter.Length > 0 && choice.Page is not (Page.Buses or Page.Help)))
        {
            Filter(choice, ref pen);
            return;
        }

        if (scene.Notice is { } notice)
        {
            pen.Put(' ');
            pen.Write(notice, scene.NoticeInk);
            return;
        }

        Keys(scene, ref pen, choice.Page switch { Page.Events => Events, Page.Buses => Buses, Page.Unknown or Page.Changed => Messages, _ => Home });
    }

    private static void Keys(Scene scene, ref Pen pen, Short[] keys)
    {
        Span<bool> isShown = stackalloc bool[keys.Length];
        var left = pen.Room;
        for (var rank = 0; rank <= LeastNeeded; rank++)
        {
            for (var i = 0; i < keys.Length; i++)
            {
                isShown[i] |= keys[i].Rank == rank && (!keys[i].ForReplay || scene.IsReplay) && left >= keys[i].Width;
                left -= keys[i].Rank == rank && isShown[i] ? keys[i].Width : 0;
            }
        }

        for (var i = 0; i < keys.Length; i++)
        {
            if (isShown[i])
            {
                pen.Put(' ');
                pen.Write(keys[i].Keys, Ink.Key);
                pen.Put(' ');
                pen.Write(keys[i].Word, Ink.Quiet);
            }
        }
    }

    private static void Filter(Choice choice, ref Pen pen)
    {
        var isTyping = choice.Typing == Typing.Filter;
        pen.Write(" filter: ", Ink.Note);
        pen.Write(choice.Filter, Ink.Strong);
        pen.Put(isTyping ? '_' : ' ', Ink.Key);
        pen.Skip(1);
        pen.Write(isTyping ? "Enter keep  Esc none" : "Esc none  / change  ? help  q quit", Ink.Quiet);
    }

    // The end of a long note is what is being typed.
    private static void Note(Scene scene, ref Pen pen)
    {
        pen.Write(scene.Model.Snapshot.IsRecorded ? " mark, recorded: " : " mark: ", Ink.Note);
        var note = scene.Choice.Note;
        var room = Math.Max(8, pen.Room - 24);
        pen.Write(note.Length <= room ? note : note[^room..], Ink.Strong);
        pen.Put('_', Ink.Key);
        pen.Skip(1);
        pen.Write("Enter set  Esc not", Ink.Quiet);
    }

    private sealed record Short(string Keys, string Word, int Rank, bool ForReplay = false)
    {
        public int Width => Keys.Length + Word.Length + 2;
    }
}
