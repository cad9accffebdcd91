using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What a painter needs: where to paint, with which marks, and what.</summary>
internal sealed record Scene(Sheet Sheet, Marks Marks, ScreenModel Model, Choice Choice)
{
    /// <summary>A caution that the source calls for, or null.</summary>
    public string? Caution { get; init; }

    /// <summary>Whether a recording is replayed and not a live bus watched.</summary>
    public bool IsReplay { get; init; }

    /// <summary>Why the alarm sounds, or null.</summary>
    public string? Alarm { get; init; }

    /// <summary>Whether the flashing word stands at its brightest.</summary>
    public bool IsAlarmBright { get; init; }

    /// <summary>What was just done at a key, or null.</summary>
    public string? Notice { get; init; }

    /// <summary>How that looks.</summary>
    public Ink NoticeInk { get; init; }

    /// <summary>A pen at the left end of a row.</summary>
    public Pen Pen(Area area, int row) => new(Sheet, area, row, Marks);

    /// <summary>The first row to show so that the chosen one is seen, moving as little as may be.</summary>
    /// <param name="list">Which list: its place in <see cref="Choice.Scroll"/>.</param>
    /// <param name="chosen">The chosen row.</param>
    /// <param name="rows">Rows there are.</param>
    /// <param name="room">Rows that fit.</param>
    public int FirstRow(int list, int chosen, int rows, int room)
    {
        var first = Choice.Scroll[list];
        first = chosen < first ? chosen : chosen >= first + room ? chosen - room + 1 : first;
        return Choice.Scroll[list] = Math.Clamp(first, 0, Math.Max(0, rows - room));
    }

    /// <summary>Writes a part's title into a rule, with the place in the list where it does not fit whole.</summary>
    public void Title(ref Pen pen, Part part, string title, int first, int rows, int room) =>
        Title(ref pen, title, Choice.Part == part && (Choice.Page is Page.Home or Page.Unknown or Page.Changed), first, rows, room);

    /// <summary>Writes a title into a rule, marked where the arrow keys go to what stands below it.</summary>
    public void Title(ref Pen pen, string title, bool isHere, int first, int rows, int room)
    {
        pen.Put(isHere ? Marks.Chosen : Marks.Rule, isHere ? Ink.Key : Ink.Quiet);
        pen.Put(' ');
        pen.Write(title, Ink.Strong, pen.Room - (rows > room ? 16 : 2));
        pen.Put(' ');
        if (rows > room && room > 0)
        {
            pen.Figure(first + 1, "0", Ink.Quiet);
            pen.Put('-', Ink.Quiet);
            pen.Figure(Math.Min(rows, first + room), "0", Ink.Quiet);
            pen.Write(" of ", Ink.Quiet);
            pen.Figure(rows, "0", Ink.Quiet);
            pen.Put(' ');
        }

        pen.Rule();
    }
}
