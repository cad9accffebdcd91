using System.Text;
using System.Text.Encodings.Web;

namespace BusScope.Reports.Samples;

/// <summary>Decoded values as one JSON object a line: the contract of <c>decode --format jsonl</c>. What is missing is null.</summary>
public sealed class JsonSamples : ISampleWriter
{
    private readonly Utf8Room room;
    private readonly List<Prepared> columns = [];

    /// <summary>Writes nothing yet.</summary>
    public JsonSamples(Stream output) => room = new Utf8Room(output);

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
        room.Write("{\"time_s\":"u8);
        room.Write(row.Time);
        room.Write(column.BeforeRaw);
        if (row.HasRaw)
        {
            room.Write(row.Sample.Raw);
        }
        else
        {
            room.Write("null"u8);
        }

        room.Write(",\"value\":"u8);
        if (row.HasText)
        {
            WriteText(row.Text);
        }
        else if (double.IsFinite(row.Sample.Value))
        {
            room.Write(row.Sample.Value);
        }
        else
        {
            room.Write("null"u8);
        }

        room.Write(column.BeforeQuality);
        room.Write(QualityWords.Of(row.Sample.Quality));
        room.Write("\"}\n"u8);
    }

    /// <inheritdoc/>
    public void Flush() => room.Flush();

    private void WriteText(ReadOnlySpan<char> text)
    {
        Span<char> escaped = stackalloc char[256];
        room.Write((byte)'"');
        while (!text.IsEmpty)
        {
            _ = JavaScriptEncoder.Default.Encode(text, escaped, out var taken, out var written);
            room.Write(escaped[..written]);
            text = text[taken..];
        }

        room.Write((byte)'"');
    }

    private sealed class Prepared(SampleColumn column)
    {
        public byte[] BeforeRaw { get; } = Encoding.UTF8.GetBytes(
            $",\"bus\":{Text(column.Bus)},\"message\":{Text(column.Message)},\"signal\":{Text(column.Signal)},\"raw\":");

        public byte[] BeforeQuality { get; } = Encoding.UTF8.GetBytes($",\"unit\":{Text(column.Unit)},\"quality\":\"");

        private static string Text(string? text) => string.IsNullOrEmpty(text) ? "null" : $"\"{JavaScriptEncoder.Default.Encode(text)}\"";
    }
}
