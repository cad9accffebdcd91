using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>Finds the cells of a row.</summary>
internal abstract class RowSplitter
{
    /// <summary>Fills <paramref name="cells"/> with what stands in the row; a fault is returned, null is none.</summary>
    public abstract ProblemKind? Split(ReadOnlySpan<byte> row, Cells cells);

    /// <summary>The splitter for a separator; a blank stands for any run of blanks and tabs.</summary>
    public static RowSplitter By(byte separator) => separator == ' ' ? new BlankSplitter() : new SeparatorSplitter(separator);

    /// <summary>Rows of cells with one separator byte between them; a cell may stand in double quotes (RFC 4180, section 2).</summary>
    private sealed class SeparatorSplitter(byte separator) : RowSplitter
    {
        public override ProblemKind? Split(ReadOnlySpan<byte> row, Cells cells)
        {
            if (row.Contains((byte)'"'))
            {
                return SplitQuoted(row, cells);
            }

            cells.Clear(areCopied: false);
            var start = 0;
            for (var i = 0; i < row.Length; i++)
            {
                if (row[i] == separator)
                {
                    cells.Add(start, i);
                    start = i + 1;
                }
            }

            cells.Add(start, row.Length);
            return cells.Overflowed ? TableProblems.TooManyColumns : null;
        }

        private ProblemKind? SplitQuoted(ReadOnlySpan<byte> row, Cells cells)
        {
            cells.Clear(areCopied: true);
            var start = 0;
            var isQuoted = false;
            for (var i = 0; i < row.Length; i++)
            {
                if (row[i] == '"')
                {
                    // A doubled quote inside quotes is one quote of the text.
                    if (isQuoted && i + 1 < row.Length && row[i + 1] == '"')
                    {
                        cells.Append(row.Slice(i++, 1));
                        continue;
                    }

                    isQuoted = !isQuoted;
                }
                else if (row[i] == separator && !isQuoted)
                {
                    cells.Add(start, cells.CopyPosition);
                    start = cells.CopyPosition;
                }
                else
                {
                    cells.Append(row.Slice(i, 1));
                }
            }

            cells.Add(start, cells.CopyPosition);
            return isQuoted ? TableProblems.OpenQuote : cells.Overflowed ? TableProblems.TooManyColumns : null;
        }
    }

    /// <summary>Rows of cells with any number of blanks and tabs between them.</summary>
    private sealed class BlankSplitter : RowSplitter
    {
        public override ProblemKind? Split(ReadOnlySpan<byte> row, Cells cells)
        {
            cells.Clear(areCopied: false);
            var start = -1;
            for (var i = 0; i < row.Length; i++)
            {
                var isBlank = row[i] is (byte)' ' or (byte)'\t';
                if (isBlank && start >= 0)
                {
                    cells.Add(start, i);
                    start = -1;
                }
                else if (!isBlank && start < 0)
                {
                    start = i;
                }
            }

            if (start >= 0)
            {
                cells.Add(start, row.Length);
            }

            return cells.Overflowed ? TableProblems.TooManyColumns : null;
        }
    }
}
