using System.Text;

namespace BusScope.Reports.Samples;

/// <summary>
/// Decoded values as comma-separated rows under a heading (RFC 4180, lines end with a line feed): the contract of
/// <c>decode --format csv</c>. A value that is no number is an empty field.
/// </summary>
public sealed class CsvSamples : ISampleWriter
{
    private static readonly System.Buffers.SearchValues<char> Special = System.Buffers.SearchValues.Create(",\"\r\n");

    // A text that a spreadsheet would take for a formula; it may have come from the bus.
    private static readonly System.Buffers.SearchValues<char> FormulaStarts = System.Buffers.SearchValues.Create("=+-@\t\r");

    private readonly Utf8Room room;
    private readonly List<Prepared> columns = [];

    /// <summary>Writes the heading.</summary>
    public CsvSamples(Stream output)
    {
        room = new Utf8Room(output);
        room.Write("time_s,bus,message,signal,raw,value,unit,quality\n"u8);
    }

    /// <inheritdoc/>
    public int Declare(SampleColumn column)
    {
        columns.Add(new Prepared(column));
        return columns.Count - 1;
    }

    /// <inheritdoc/>
    public void Write(in SampleRow row)
    {
        var column = columns[row.Column];
        room.Write(row.Time);
        room.Write(column.BeforeRaw);
        if (row.HasRaw)
        {
            room.Write(row.Sample.Raw);
        }

        room.Write((byte)',');
        if (row.HasText)
        {
            WriteField(room, row.Text);
        }
        else if (double.IsFinite(row.Sample.Value))
        {
            room.Write(row.Sample.Value);
        }

        room.Write(column.BeforeQuality);
        room.Write(QualityWords.Of(row.Sample.Quality));
        room.Write((byte)'\n');
    }

    /// <inheritdoc/>
    public void Flush() => room.Flush();

    private static void WriteField(Utf8Room room, ReadOnlySpan<char> text)
    {
        var startsFormula = !text.IsEmpty && FormulaStarts.Contains(text[0]);
        if (!startsFormula && !text.ContainsAny(Special))
        {
            room.Write(text);
            return;
        }

        room.Write((byte)'"');
        if (startsFormula)
        {
            room.Write((byte)'\'');
        }

        while (text.IndexOf('"') is var quote and >= 0)
        {
            room.Write(text[..(quote + 1)]);
            room.Write((byte)'"');
            text = text[(quote + 1)..];
        }

        room.Write(text);
        room.Write((byte)'"');
    }

    // What stands between time and raw value, and between value and quality, is the same in every row of a signal.
    private sealed class Prepared(SampleColumn column)
    {
        public byte[] BeforeRaw { get; } = Encoding.UTF8.GetBytes($",{Field(column.Bus)},{Field(column.Message)},{Field(column.Signal)},");

        public byte[] BeforeQuality { get; } = Encoding.UTF8.GetBytes($",{Field(column.Unit ?? "")},");

        private static string Field(string text)
        {
            using var bytes = new MemoryStream();
            var room = new Utf8Room(bytes);
            WriteField(room, text);
            room.Flush();
            return Encoding.UTF8.GetString(bytes.GetBuffer(), 0, (int)bytes.Length);
        }
    }
}
