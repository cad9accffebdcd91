using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>Opens captures that are text: one frame a row, the columns named by a header or by a profile.</summary>
public static class TextTable
{
    /// <summary>What a source of this kind says that it is.</summary>
    public const string Format = "table";

    // As many rows tell the unit of time as stand in the first quarter of a megabyte.
    private const int MostRowsLookedAt = 2_000;
    private const int IdsThatTell = 30;

    /// <summary>Opens a table. The stream is read by no one else, and closed with the source.</summary>
    /// <param name="stream">The text, UTF-8, after decompression.</param>
    /// <param name="name">What a person calls the source.</param>
    /// <param name="profile">What the user says about the table, or null: its header speaks for itself.</param>
    /// <exception cref="SourceException">It is no table, or no header was understood.</exception>
    public static IFrameSource Open(Stream stream, string name, TextTableProfile? profile)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        var lines = new LineReader(stream);
        var said = profile ?? new TextTableProfile();
        var problems = new ProblemLog();
        try
        {
            lines.Fill();
            SkipMark(lines, name);
            for (var i = 0; i < said.SkipLines && lines.TryRead(out _, out _); i++)
            {
            }

            var (columns, splitter, separator, unit) = TableStart.Read(lines, name, said, problems);
            lines.Fill();
            var sample = Sample(lines, columns, splitter, said);
            var clock = new TableClock(said.TimeUnit ?? unit ?? Infer(sample, problems, lines.Number + 1), said.TimeOffset, said.WrapsAfter, commaIsPoint: separator != ',');
            NoteIds(sample, columns, said, problems, lines.Number + 1);
            var buses = new BusNames();
            if (columns[ColumnRole.Bus] < 0)
            {
                buses.Add(said.Bus ?? "bus");
            }

            var decoder = new RowDecoder(columns, clock, new IdReading(said.IdIsDecimal, said.IdIsExtended), said.IsPadded, buses);
            return new TextTableSource(stream, name, lines, splitter, decoder, buses, problems, said.Comment);
        }
        catch (IOException e)
        {
            throw new SourceException($"{name}: cannot be read: {e.Message}", e);
        }
    }

    private static void SkipMark(LineReader lines, string name)
    {
        if (lines.Ahead is [0xEF, 0xBB, 0xBF, ..])
        {
            lines.Skip(3);
        }
        else if (lines.Ahead is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..])
        {
            throw new SourceException($"{name}: the text is UTF-16; save it as UTF-8");
        }
    }

    private static long Infer(TableSample sample, ProblemLog problems, long line)
    {
        var guess = TimeUnitGuess.From(sample.Times, sample.HaveFractions);
        problems.Add(TableProblems.TimeUnitInferred, new ProblemPlace(Line: line), $"{guess.Reason}; a profile can say otherwise");
        return guess.Unit;
    }

    private static void NoteIds(TableSample sample, TableColumns columns, TextTableProfile profile, ProblemLog problems, long line)
    {
        if (profile.IdIsExtended is null && columns[ColumnRole.Extended] < 0 && sample.Ids.Count > 0)
        {
            problems.Add(TableProblems.IdFormatInferred, new ProblemPlace(Line: line), "a profile can say otherwise: id: { extended: true }");
        }

        // Of 30 hexadecimal numbers of three digits, one in a million sets has no digit above 9.
        if (!profile.IdIsDecimal && sample.Ids.Count >= IdsThatTell && !sample.Ids.Any(id => id.AsSpan().ContainsAnyInRange('A', 'F') || id.AsSpan().ContainsAnyInRange('a', 'f')))
        {
            problems.Add(TableProblems.IdsLookDecimal, new ProblemPlace(Line: line), $"{sample.Ids.Count} identifiers without a digit above 9; if they are decimal, a profile says so: id: {{ base: decimal }}");
        }
    }

    private static TableSample Sample(LineReader lines, TableColumns columns, RowSplitter splitter, TextTableProfile profile)
    {
        var sample = new TableSample();
        var cells = new Cells();
        var ahead = lines.Ahead;
        for (var i = 0; i < MostRowsLookedAt && !ahead.IsEmpty; i++)
        {
            var length = ahead.IndexOf((byte)'\n');
            var row = length < 0 ? ahead : ahead[..length];
            ahead = length < 0 ? [] : ahead[(length + 1)..];
            if (row.Length <= LineReader.LongestLine && !TableStart.IsComment(row, profile.Comment) && splitter.Split(row.TrimEnd((byte)'\r'), cells) is null)
            {
                var text = cells.TextOf(row);
                sample.Add(cells.Get(text, columns[ColumnRole.Time]), cells.Get(text, columns[ColumnRole.Id]));
            }
        }

        return sample;
    }
}
