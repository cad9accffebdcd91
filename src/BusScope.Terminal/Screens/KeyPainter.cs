using BusScope.Terminal.Drawing;
using BusScope.Terminal.Pages;

namespace BusScope.Terminal.Screens;

/// <summary>The bottom row: the keys of the page; or what is typed, what was just done, or why the alarm sounds. A long sentence takes rows above it for its time.</summary>
internal static class KeyPainter
{
    private const int MostNoticeRows = 4;

    /// <summary>Paints the bottom row.</summary>
    public static void Bottom(Scene scene, Area area, ScreenPage page)
    {
        var pen = scene.Pen(area, 0);
        var choice = scene.Choice;
        if (scene.Alarm is { } reason)
        {
            pen.Write(" ALARM ", scene.IsAlarmBright ? Ink.BadBanner : Ink.Bad);
            pen.Put(' ');
            pen.Write(reason, Ink.Bad, pen.Room - 20);
            pen.Write("  any key quiets it", Ink.Key);
        }
        else if (choice.Entry is { } entry)
        {
            Typed(ref pen, entry);
        }
        else if (scene.Notice is { } notice)
        {
            pen.Put(' ');
            pen.Write(notice, scene.NoticeInk);
        }
        else if (choice.Filter.Length > 0 && page.HasFilter)
        {
            pen.Write(" filter: ", Ink.Note);
            pen.Write(choice.Filter, Ink.Strong);
            pen.Write("  Esc none  / change  ? help  q quit", Ink.Quiet);
        }
        else
        {
            Keys(scene, ref pen, page.Hints);
        }
    }

    /// <summary>Paints what was just done over the lowest rows where one is too short for it.</summary>
    public static void LongNotice(Scene scene, Area whole)
    {
        if (scene.Notice is not { } notice || scene.Alarm is not null || scene.Choice.Entry is not null)
        {
            return;
        }

        var width = whole.Width - 2;
        var rest = scene.Marks.Safe(notice).AsSpan();
        var lines = Math.Min(MostNoticeRows, Wrap.Lines(rest, width));
        for (var row = whole.Height - lines; lines > 1 && row < whole.Height; row++)
        {
            var pen = scene.Pen(whole, row);
            pen.Put(' ');
            pen.Write(row == whole.Height - 1 ? rest : Wrap.Take(ref rest, width), scene.NoticeInk);
            pen.Put(' ', Ink.Plain, pen.Room);
        }
    }

    private static void Keys(Scene scene, ref Pen pen, IReadOnlyList<KeyHint> keys)
    {
        Span<bool> isShown = stackalloc bool[keys.Count];
        var left = pen.Room;
        for (var rank = 0; rank <= KeyHint.LeastNeeded; rank++)
        {
            for (var i = 0; i < keys.Count; i++)
            {
                isShown[i] |= keys[i].Rank == rank && (!keys[i].ForReplay || scene.IsReplay) && left >= keys[i].Width;
                left -= keys[i].Rank == rank && isShown[i] ? keys[i].Width : 0;
            }
        }

        for (var i = 0; i < keys.Count; i++)
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

    // Of a long text the end is what is being typed.
    private static void Typed(ref Pen pen, Entry entry)
    {
        pen.Put(' ');
        pen.Write(entry.Label, Ink.Note);
        var room = Math.Max(8, pen.Room - entry.Keys.Length - 6);
        pen.Write(entry.Text.Length <= room ? entry.Text : entry.Text[^room..], Ink.Strong);
        pen.Put('_', Ink.Key);
        pen.Skip(1);
        pen.Write(entry.Wrong ?? entry.Keys, entry.Wrong is null ? Ink.Quiet : Ink.Wary);
    }
}
