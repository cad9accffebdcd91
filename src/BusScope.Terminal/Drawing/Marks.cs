using System.Text;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Signals.Plans;
using Terminal.Gui.Text;

namespace BusScope.Terminal.Drawing;

/// <summary>
/// The marks and words that tell a state, in the full or in the plain (ASCII) alphabet, and what makes text from outside fit
/// for the screen: no control characters, each character one column wide.
/// </summary>
internal sealed class Marks
{
    private const char Unknown = '?';

    private Marks(bool isAscii) => IsAscii = isAscii;

    /// <summary>The full alphabet.</summary>
    public static Marks Full { get; } = new(isAscii: false);

    /// <summary>Nothing beyond ASCII, for terminals and fonts that have no more.</summary>
    public static Marks Plain { get; } = new(isAscii: true);

    /// <summary>Whether this is the plain alphabet.</summary>
    public bool IsAscii { get; }

    /// <summary>Stands where a text was cut.</summary>
    public char Cut => IsAscii ? '~' : '…';

    /// <summary>A horizontal rule.</summary>
    public char Rule => IsAscii ? '-' : '─';

    /// <summary>A vertical rule.</summary>
    public char Wall => IsAscii ? '|' : '│';

    /// <summary>Where a vertical rule hangs from a horizontal one.</summary>
    public char Junction => IsAscii ? '+' : '┬';

    /// <summary>The filled part of a bar.</summary>
    public char Full8 => IsAscii ? '#' : '█';

    /// <summary>The empty part of a bar.</summary>
    public char Empty8 => IsAscii ? '.' : '░';

    /// <summary>The way gone on a time line.</summary>
    public char Gone => IsAscii ? '=' : '━';

    /// <summary>The place on a time line, or of a value in its range.</summary>
    public char Here => IsAscii ? 'o' : '●';

    /// <summary>Stands before what is chosen.</summary>
    public char Chosen => IsAscii ? '>' : '▸';

    /// <summary>A mark that a person set.</summary>
    public char Mark => IsAscii ? 'v' : '▾';

    /// <summary>Between things on one line.</summary>
    public char Dot => IsAscii ? '.' : '·';

    /// <summary>A state by mark.</summary>
    public char Of(MessageState? state) => state switch
    {
        MessageState.Awaited => IsAscii ? '~' : '○',
        MessageState.Fresh => IsAscii ? '+' : '●',
        MessageState.Late => IsAscii ? '!' : '▲',
        MessageState.Stale => IsAscii ? '?' : '◆',
        MessageState.Missing => IsAscii ? 'X' : '✖',
        _ => IsAscii ? '-' : '·',
    };

    /// <summary>A verdict by mark.</summary>
    public char Of(Verdict verdict) => verdict switch
    {
        Verdict.Go => IsAscii ? '+' : '●',
        Verdict.NoGo => IsAscii ? 'X' : '✖',
        _ => IsAscii ? '~' : '○',
    };

    /// <summary>A weight by mark.</summary>
    public char Of(FindingSeverity? severity) => severity switch
    {
        FindingSeverity.Fault => IsAscii ? 'X' : '✖',
        FindingSeverity.Warning => IsAscii ? '!' : '▲',
        _ => IsAscii ? '-' : '·',
    };

    /// <summary>What a reading is worth, by mark.</summary>
    public char Of(SampleQuality quality) => quality switch
    {
        SampleQuality.Ok => ' ',
        SampleQuality.NotAvailable or SampleQuality.Absent => IsAscii ? '-' : '·',
        SampleQuality.Stale => IsAscii ? '?' : '◆',
        SampleQuality.Error => IsAscii ? 'X' : '✖',
        _ => IsAscii ? '!' : '▲',
    };

    /// <summary>A state by word.</summary>
    public static string Word(MessageState? state) => state switch
    {
        MessageState.Awaited => "awaited",
        MessageState.Fresh => "fresh",
        MessageState.Late => "late",
        MessageState.Stale => "STALE",
        MessageState.Missing => "MISSING",
        MessageState.Idle => "idle",
        _ => "seen",
    };

    /// <summary>A verdict by word.</summary>
    public static string Word(Verdict verdict) => verdict switch
    {
        Verdict.Go => "GO",
        Verdict.NoGo => "NO-GO",
        _ => "inconclusive",
    };

    /// <summary>What a reading is worth, by word; nothing for a good one.</summary>
    public static string Word(SampleQuality quality) => quality switch
    {
        SampleQuality.Ok => "",
        SampleQuality.NotAvailable => "not available",
        SampleQuality.Error => "error",
        SampleQuality.OutOfRange => "out of range",
        SampleQuality.Implausible => "implausible",
        SampleQuality.Stale => "stale",
        _ => "absent",
    };

    /// <summary>The ink of a state.</summary>
    public static Ink InkOf(MessageState? state) => state switch
    {
        MessageState.Fresh => Ink.Good,
        MessageState.Late => Ink.Wary,
        MessageState.Stale or MessageState.Missing => Ink.Bad,
        MessageState.Awaited => Ink.Note,
        _ => Ink.Quiet,
    };

    /// <summary>The ink of a verdict.</summary>
    public static Ink InkOf(Verdict verdict) => verdict switch
    {
        Verdict.Go => Ink.Good,
        Verdict.NoGo => Ink.Bad,
        _ => Ink.Note,
    };

    /// <summary>The ink of a weight.</summary>
    public static Ink InkOf(FindingSeverity? severity) => severity switch
    {
        FindingSeverity.Fault => Ink.Bad,
        FindingSeverity.Warning => Ink.Wary,
        _ => Ink.Plain,
    };

    /// <summary>The text with nothing in it that moves the cursor, turns the direction or takes two columns; the same object where it was so already.</summary>
    public string Safe(string text)
    {
        var clean = CleanText.Clean(text);
        foreach (var c in clean)
        {
            if (c > '~')
            {
                return Narrowed(clean);
            }
        }

        return clean;
    }

    private string Narrowed(string text)
    {
        var isNarrow = !IsAscii;
        foreach (var rune in text.EnumerateRunes())
        {
            isNarrow = isNarrow && rune.IsBmp && rune.GetColumns() == 1;
        }

        if (isNarrow)
        {
            return text;
        }

        var narrow = new StringBuilder(text.Length + 8);
        foreach (var rune in text.EnumerateRunes())
        {
            _ = rune switch
            {
                { IsAscii: true } => narrow.Append((char)rune.Value),
                { Value: '°' } when IsAscii => narrow.Append("deg"),
                { Value: 'µ' or 'μ' } when IsAscii => narrow.Append('u'),
                { Value: 'Ω' } when IsAscii => narrow.Append("Ohm"),
                { Value: '²' } when IsAscii => narrow.Append('2'),
                { Value: '³' } when IsAscii => narrow.Append('3'),
                { Value: '×' } when IsAscii => narrow.Append('x'),
                { Value: '–' or '—' } when IsAscii => narrow.Append('-'),
                { IsBmp: true } when !IsAscii && rune.GetColumns() == 1 => narrow.Append((char)rune.Value),
                _ => narrow.Append(Unknown),
            };
        }

        return narrow.ToString();
    }
}
