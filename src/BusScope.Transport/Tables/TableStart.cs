using System.Text;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>Finds out from the start of a table how its rows are to be read. Called once, when the table is opened.</summary>
internal static class TableStart
{
    // A header stands near the top; what comes before it are a few lines of comment.
    private const int MostLinesBeforeHeader = 100;
    private const int LongestQuote = 80;
    private static readonly byte[] separators = "\t;, "u8.ToArray();

    /// <summary>Reads up to and with the header.</summary>
    /// <exception cref="SourceException">No header is understood.</exception>
    public static (TableColumns Columns, RowSplitter Splitter, byte Separator, long? Unit) Read(LineReader lines, string name, TextTableProfile profile, ProblemLog problems)
    {
        if (profile.Line is { } pattern)
        {
            var splitter = new PatternSplitter(pattern);
            return (splitter.Columns, splitter, (byte)' ', null);
        }

        if (!profile.HasHeader)
        {
            return WithoutHeader(name, profile);
        }

        string? first = null;
        for (var i = 0; i < MostLinesBeforeHeader && lines.TryRead(out var line, out var isTooLong); i++)
        {
            if (isTooLong || line.Contains((byte)0))
            {
                throw new SourceException($"{name}: not a text table: line {lines.Number} {(isTooLong ? $"is longer than {LineReader.LongestLine} bytes" : "holds zero bytes")}");
            }

            if (line.Trim((byte)' ').IsEmpty || IsComment(line, profile.Comment))
            {
                continue;
            }

            var header = Header.Best(line, profile.Separator is { } given ? [given] : separators, profile);
            if (header.Columns.AreEnough)
            {
                if (header.Ignored.Count > 0)
                {
                    problems.Add(TableProblems.ColumnsIgnored, new ProblemPlace(Line: lines.Number), CleanText.Clean(string.Join(", ", header.Ignored)), header.Ignored.Count);
                }

                return (header.Columns, RowSplitter.By(header.Separator), header.Separator, header.Unit);
            }

            first ??= header.Fault ?? $"its first row is \"{Quote(line)}\"";
            // Lines that look like comments may stand before the header even where no profile says so.
            if (line[0] is not ((byte)'#' or (byte)'/' or (byte)';' or (byte)'%' or (byte)'*'))
            {
                break;
            }
        }

        throw new SourceException(
            $"{name}: not a capture that is understood: {first ?? "it holds no row"}; a text table needs a header with time, id, and data or length, or a profile that describes it");
    }

    /// <summary>Whether a line is a comment of the table.</summary>
    public static bool IsComment(ReadOnlySpan<byte> line, string? comment) => comment is { Length: > 0 } && line.StartsWith(Encoding.UTF8.GetBytes(comment));

    private static (TableColumns, RowSplitter, byte, long?) WithoutHeader(string name, TextTableProfile profile)
    {
        var header = new Header(profile.Separator ?? (byte)',', [], profile);
        return header.Columns.AreEnough && header.Fault is null
            ? (header.Columns, RowSplitter.By(header.Separator), header.Separator, null)
            : throw new SourceException($"{name}: {header.Fault ?? "a table without a header needs the columns time, id, and data or length by number in its profile"}");
    }

    private static string Quote(ReadOnlySpan<byte> line) => CleanText.Clean(Encoding.UTF8.GetString(line[..Math.Min(line.Length, LongestQuote)]));
}
