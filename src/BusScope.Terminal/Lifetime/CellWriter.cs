using System.Globalization;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Lifetime;

/// <summary>
/// Tells a terminal what changed of a sheet in few bytes: ink by ink, because a change of colour is longer than a movement of the cursor, and
/// over cells that stay the same where to send them again is no longer than to move on (docs/decisions/0402-changed-cells.md). Allocates nothing
/// once its text is long enough. On the screen's thread alone.
/// </summary>
/// <param name="codes">The sequences of the inks.</param>
internal sealed class CellWriter(InkCodes codes)
{
    // ESC [ row ; column H with numbers of five digits.
    private const int LongestMove = 14;

    private char[] text = new char[4_096];
    private int length;
    private Ink pen;
    private int row;
    private int column;

    /// <summary>Writes what changed; the terminal's ink is plain before and behind it.</summary>
    /// <param name="sheet">What is to stand on the terminal; blanks that nobody sees are plain.</param>
    /// <param name="changed">By cell, row after row: whether it is to be sent. False everywhere afterwards.</param>
    /// <returns>What the terminal is to be sent; valid until the next call.</returns>
    public ReadOnlySpan<char> Write(Sheet sheet, Span<bool> changed)
    {
        // Nobody knows where the cursor stands.
        (length, pen, row) = (0, Ink.Plain, -1);
        var inks = InksOf(sheet, changed);
        for (var ink = InkCodes.Count - 1; ink >= 0; ink--)
        {
            if ((inks & (1 << ink)) != 0)
            {
                WriteInk(sheet, changed, (Ink)ink);
            }
        }

        TakeUp(Ink.Plain);
        return text.AsSpan(0, length);
    }

    private static int InksOf(Sheet sheet, ReadOnlySpan<bool> changed)
    {
        var inks = 0;
        for (var y = 0; y < sheet.Height; y++)
        {
            var ofRow = changed.Slice(y * sheet.Width, sheet.Width);
            for (var x = ofRow.IndexOf(true); x >= 0 && x < ofRow.Length; x++)
            {
                inks |= ofRow[x] ? 1 << (int)sheet.Inks(y)[x] : 0;
            }
        }

        return inks;
    }

    // Blanks that lie in the way were sent with other inks: there may be nothing left.
    private void WriteInk(Sheet sheet, Span<bool> changed, Ink ink)
    {
        for (var y = 0; y < sheet.Height; y++)
        {
            var characters = sheet.Characters(y);
            var inks = sheet.Inks(y);
            var ofRow = changed.Slice(y * sheet.Width, sheet.Width);
            for (var x = ofRow.IndexOf(true); x >= 0 && x < ofRow.Length; x++)
            {
                if (!ofRow[x] || inks[x] != ink)
                {
                    continue;
                }

                var end = End(characters, inks, ofRow, x, ink);
                TakeUp(ink);
                MoveTo(y, x);
                Add(characters[x..end]);
                ofRow[x..end].Clear();
                column = end;
                row = end == sheet.Width ? -1 : y;
                x = end - 1;
            }
        }
    }

    // Behind the last cell of a run: what stands in this ink or is a blank in none goes on it, and what lies between two changes where it is
    // no longer than to move over it.
    private int End(ReadOnlySpan<char> characters, ReadOnlySpan<Ink> inks, ReadOnlySpan<bool> changed, int start, Ink ink)
    {
        var (end, between) = (start + 1, 0);
        for (var x = end; x < characters.Length && (inks[x] == ink || (inks[x] == Ink.Plain && characters[x] == ' ' && !codes.HasPaper(ink))); x++)
        {
            if (changed[x])
            {
                (end, between) = (x + 1, 0);
                continue;
            }

            between += BytesOf(characters[x]);
            if (between > BytesToMoveOver(x + 1 - end))
            {
                break;
            }
        }

        return end;
    }

    private void TakeUp(Ink ink)
    {
        if (ink != pen)
        {
            Add(codes[ink]);
            pen = ink;
        }
    }

    private void MoveTo(int toRow, int toColumn)
    {
        if (toRow == row && toColumn == column)
        {
            return;
        }

        Room(LongestMove);
        Add("\e[");
        if (toRow == row && toColumn > column)
        {
            // Cursor forward; 1 is understood.
            AddNumber(toColumn - column == 1 ? 0 : toColumn - column);
            Add("C");
            return;
        }

        AddNumber(toRow + 1);
        Add(";");
        AddNumber(toColumn + 1);
        Add("H");
    }

    private static int BytesToMoveOver(int cells) => cells switch { 1 => 3, < 10 => 4, < 100 => 5, _ => 6 };

    // In UTF-8; a sheet holds no half of a surrogate pair.
    private static int BytesOf(char c) => c < 0x80 ? 1 : c < 0x800 ? 2 : 3;

    private void AddNumber(int number)
    {
        if (number > 0 && number.TryFormat(text.AsSpan(length), out var written, default, CultureInfo.InvariantCulture))
        {
            length += written;
        }
    }

    private void Add(scoped ReadOnlySpan<char> part)
    {
        Room(part.Length);
        part.CopyTo(text.AsSpan(length));
        length += part.Length;
    }

    private void Room(int more)
    {
        if (length + more > text.Length)
        {
            Array.Resize(ref text, Math.Max(length + more, 2 * text.Length));
        }
    }
}
