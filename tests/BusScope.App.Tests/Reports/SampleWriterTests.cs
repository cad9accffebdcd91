using System.Globalization;
using System.Text;
using System.Text.Json;
using BusScope.Frames;
using BusScope.Reports.Samples;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.App.Tests.Reports;

public class SampleWriterTests
{
    private static readonly Gen<string> Names = Gen.String[Gen.Char["ab ,\"\n\r=é→"], 0, 6];

    [Fact]
    public void Csv_fields_read_back_as_they_were() =>
        (from bus in Names from message in Names from signal in Names from unit in Names from text in Names select new[] { bus, message, signal, unit, text })
        .Where(texts => texts.All(text => text.Length == 0 || text[0] is not ('=' or '\r')))
        .Sample(texts =>
        {
            var output = new MemoryStream();
            var writer = new CsvSamples(output);

            var column = writer.Declare(new SampleColumn(texts[0], texts[1], texts[2], texts[3]));
            writer.Write(new SampleRow { Time = default, Column = column, Sample = new Sample(1, 2, SampleQuality.Ok), Text = texts[4], HasText = true });
            writer.Flush();

            var rows = ReadCsv(Encoding.UTF8.GetString(output.ToArray()));
            Assert.Equal(["time_s", "bus", "message", "signal", "raw", "value", "unit", "quality"], rows[0]);
            Assert.Equal(["0.000000000", texts[0], texts[1], texts[2], "", texts[4], texts[3], "ok"], rows[1]);
        });

    [Fact]
    public void A_number_reads_back_as_the_same_number() =>
        Gen.Double.Where(double.IsFinite).Sample(value =>
        {
            var csv = Csv(new Sample(7, value, SampleQuality.Ok), hasRaw: true);

            Assert.Equal(value, double.Parse(csv.Split(',')[5], CultureInfo.InvariantCulture));
        });

    [Theory]
    [InlineData(0, "0.000000000")]
    [InlineData(1, "0.000000001")]
    [InlineData(-364_000_000, "-0.364000000")]
    [InlineData(1_700_000_000_123_456_789, "1700000000.123456789")]
    [InlineData(long.MinValue, "-9223372036.854775808")]
    [InlineData(long.MaxValue, "9223372036.854775807")]
    public void Times_are_exact_to_the_nanosecond(long nanoseconds, string expected)
    {
        var output = new MemoryStream();
        var writer = new CsvSamples(output);

        var column = writer.Declare(new SampleColumn("b", "m", "s", null));
        writer.Write(new SampleRow { Time = new FrameTime(nanoseconds), Column = column, Sample = default });
        writer.Flush();

        Assert.Contains($"\n{expected},", Encoding.UTF8.GetString(output.ToArray()), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void What_is_no_number_is_an_empty_field(double value) =>
        Assert.Equal("0.000000000,b,m,s,255,,V,not-available", Csv(new Sample(255, value, SampleQuality.NotAvailable), hasRaw: true));

    [Theory]
    [InlineData("=1+1")]
    [InlineData("@now")]
    [InlineData("-cmd")]
    [InlineData("+1")]
    public void A_text_that_a_spreadsheet_would_compute_is_made_a_text(string text)
    {
        var output = new MemoryStream();
        var writer = new CsvSamples(output);

        var column = writer.Declare(new SampleColumn("b", "m", "s", null));
        writer.Write(new SampleRow { Time = default, Column = column, Sample = default, Text = text, HasText = true });
        writer.Flush();

        Assert.Contains($",\"'{text}\",", Encoding.UTF8.GetString(output.ToArray()), StringComparison.Ordinal);
    }

    [Fact]
    public void Json_lines_read_back_as_they_were() =>
        (from name in Gen.String from text in Gen.String from raw in Gen.ULong from value in Gen.Double from hasText in Gen.Bool select (name, text, raw, value, hasText))
        .Where(sample => IsWellFormed(sample.name) && IsWellFormed(sample.text))
        .Sample((name, text, raw, value, hasText) =>
        {
            var output = new MemoryStream();
            var writer = new JsonSamples(output);

            var column = writer.Declare(new SampleColumn(name, "m", "s", null));
            writer.Write(new SampleRow
            {
                Time = new FrameTime(1_500_000_000),
                Column = column,
                Sample = new Sample(raw, value, SampleQuality.OutOfRange),
                Text = text,
                HasText = hasText,
                HasRaw = true,
            });
            writer.Flush();

            using var json = JsonDocument.Parse(output.ToArray());
            var root = json.RootElement;
            Assert.Equal(1.5, root.GetProperty("time_s").GetDouble());
            Assert.Equal(name.Length == 0 ? null : name, root.GetProperty("bus").GetString());
            Assert.Equal(raw, root.GetProperty("raw").GetUInt64());
            Assert.Equal(JsonValueKind.Null, root.GetProperty("unit").ValueKind);
            Assert.Equal("out-of-range", root.GetProperty("quality").GetString());
            if (hasText)
            {
                Assert.Equal(text, root.GetProperty("value").GetString());
            }
            else if (double.IsFinite(value))
            {
                Assert.Equal(value, root.GetProperty("value").GetDouble());
            }
            else
            {
                Assert.Equal(JsonValueKind.Null, root.GetProperty("value").ValueKind);
            }
        });

    [Fact]
    public void A_number_costs_no_memory()
    {
        var writer = new CsvSamples(Stream.Null);
        var column = writer.Declare(new SampleColumn("b", "m", "s", "V"));
        void Write(int count)
        {
            for (var i = 0; i < count; i++)
            {
                writer.Write(new SampleRow { Time = new FrameTime(i), Column = column, Sample = new Sample((ulong)i, i * 0.1, SampleQuality.Ok), HasRaw = true });
            }
        }

        Assert.Equal(0, Allocation.Of(() => Write(10_000)));
    }

    private static string Csv(Sample sample, bool hasRaw)
    {
        var output = new MemoryStream();
        var writer = new CsvSamples(output);
        var column = writer.Declare(new SampleColumn("b", "m", "s", "V"));
        writer.Write(new SampleRow { Time = default, Column = column, Sample = sample, HasRaw = hasRaw });
        writer.Flush();
        return Encoding.UTF8.GetString(output.ToArray()).Split('\n')[1];
    }

    private static bool IsWellFormed(string text) => text.EnumerateRunes().All(rune => rune.Value != 0xFFFD);

    // An independent reader of RFC 4180, character by character.
    private static List<string[]> ReadCsv(string text)
    {
        var rows = new List<string[]>();
        var row = new List<string>();
        var field = new StringBuilder();
        var quoted = false;
        for (var i = 0; i < text.Length; i++)
        {
            var c = text[i];
            if (quoted && c == '"' && i + 1 < text.Length && text[i + 1] == '"')
            {
                field.Append('"');
                i++;
            }
            else if (c == '"')
            {
                quoted = !quoted;
            }
            else if (!quoted && c is ',' or '\n')
            {
                row.Add(field.ToString());
                field.Clear();
                if (c == '\n')
                {
                    rows.Add([.. row]);
                    row.Clear();
                }
            }
            else
            {
                field.Append(c);
            }
        }

        return rows;
    }
}
