using BusScope.Frames;
using BusScope.Transport.Tables;
using Xunit;

namespace BusScope.Transport.Tests.Tables;

public class TextTableProfileTests
{
    [Fact]
    public void A_profile_names_columns_unit_base_and_separator()
    {
        var profile = Profile("""
            separator: "|"
            skip-lines: 1
            comment: ";"
            columns: { time: Moment, id: Kennung, data: 3..4 }
            time: { unit: ms, base: 2026-05-01T10:00:00Z }
            id: { base: decimal, extended: true }
            bus: chassis
            """);

        var (frames, source) = TextTableTests.Read("report of today\nMoment|Kennung|x|y\n; nothing\n1.5|416|0A|0B\n", profile);

        var frame = Assert.Single(frames);
        // date -u -d 2026-05-01T10:00:00Z +%s gives 1777629600.
        Assert.Equal(1_777_629_600_001_500_000, frame.Time.Nanoseconds);
        Assert.Equal(new CanId(0x1A0, true), frame.Id);
        Assert.Equal([0x0A, 0x0B], frame.Data.ToArray());
        Assert.Equal("chassis", Assert.Single(source.Buses).Name);
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void Columns_by_number_need_no_header()
    {
        var profile = Profile("header: false\nseparator: blanks\ncolumns: { time: 1, id: 2, length: 3, data: 4 }\ntime: { unit: us }\nid: { extended: false }");

        var (frames, source) = TextTableTests.Read("10 1A0 2 11 22\n20 1A1 0\n", profile);

        Assert.Empty(source.Problems.All);
        Assert.Equal([0x2211UL, 0UL], frames.Select(f => f.FirstEight));
    }

    [Fact]
    public void A_line_pattern_takes_lines_apart_that_are_no_columns()
    {
        var profile = Profile("""
            line: '^\[(?<time>[0-9.]+)\] (?<bus>\w+) (?<id>[0-9A-F]+) *: (?<data>[0-9A-F ]*)$'
            time: { unit: s }
            id: { extended: false }
            """);

        var (frames, source) = TextTableTests.Read("[0.001] cabin 1A0 : 01 02\nnoise\n[0.002] chassis 1A1: \n", profile);

        Assert.Equal([(1_000_000L, "cabin", 2), (2_000_000L, "chassis", 0)], frames.Select(f => (f.Time.Nanoseconds, source.Buses[f.Bus].Name, (int)f.Length)));
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal((TableProblems.NoMatch, 2L), (problem.Kind, problem.First.Line!.Value));
    }

    [Fact]
    public void A_clock_that_wraps_each_minute_is_put_back_in_order()
    {
        var profile = Profile("time: { unit: s, wraps-after: 60 s }");

        var (frames, _) = TextTableTests.Read("time,id,ext,len\n59.8,1,0,0\n59.9,1,0,0\n0.1,1,0,0\n59.95,2,0,0\n30,1,0,0\n59,1,0,0\n0.2,1,0,0\n", profile);

        Assert.Equal([59.8, 59.9, 60.1, 59.95, 90, 119, 120.2], frames.Select(f => f.Time.Seconds));
    }

    [Fact]
    public void Filled_up_columns_are_not_data_where_the_profile_says_so()
    {
        var (frames, source) = TextTableTests.Read("time_ms,id,ext,len,d0,d1,d2\n1,1,0,1,AA,00,00\n", Profile("padded: true"));

        Assert.Empty(source.Problems.All);
        Assert.Equal([0xAA], frames[0].Data.ToArray());
    }

    [Theory]
    [InlineData("seperator: comma", "unknown-key", 1, 1, "did you mean \"separator\"?")]
    [InlineData("bus: a\ntime: { unti: ms }", "unknown-key", 2, 9, "did you mean \"unit\"?")]
    [InlineData("time: { unit: hours }", "value-unknown", 1, 15, "s, ms, us or ns")]
    [InlineData("time: 5", "not-a-mapping", 1, 7, "unit, base, wraps-after")]
    [InlineData("separator: ab", "separator-unknown", 1, 12, "comma, semicolon, tab, blanks, or one mark such as |")]
    [InlineData("line: '(?<time>x)'", "pattern-incomplete", 1, 7, "write (?<time>…), (?<id>…), (?<data>…)")]
    [InlineData("line: '(?=x)'", "pattern-invalid", 1, 7, "a pattern without look-around and back references")]
    [InlineData("line: '('", "pattern-invalid", 1, 7, "a pattern without look-around and back references")]
    [InlineData("skip-lines: -1", "not-a-number", 1, 13, null)]
    [InlineData("columns: { data: 5..500 }", "data-columns-impossible", 1, 18, "at most 64 columns, counted from 1: 6..13")]
    [InlineData("time: { base: yesterday }", "time-base-unknown", 1, 15, "2026-05-01T10:00:00Z, or seconds since 1970-01-01")]
    [InlineData("time: { wraps-after: 60 }", "period-unknown", 1, 22, "60 s, 1 min, 65536 us")]
    [InlineData("bus: [a]", "not-a-text", 1, 6, null)]
    [InlineData("bus: a\nbus: b", "yaml-malformed", 2, 1, null)]
    public void A_fault_in_a_profile_is_told_with_its_place_and_a_hint(string yaml, string code, int line, int column, string? hint)
    {
        var result = TextTableProfileReader.Parse(yaml, "p.yaml");

        Assert.Null(result.Profile);
        var fault = Assert.Single(result.Diagnostics);
        Assert.Equal((code, line, column, hint), (fault.Code, fault.Place.Line, fault.Place.Column, fault.Hint));
    }

    [Fact]
    public void All_faults_are_told_at_once() =>
        Assert.Equal(3, TextTableProfileReader.Parse("heder: true\ntime: { unit: x, base: y }", "p.yaml").Diagnostics.Count);

    [Fact]
    public void A_column_that_the_table_has_not_is_told() =>
        Assert.Contains("\"Moment\"", Assert.Throws<SourceException>(() => TextTableTests.Read("a,b\n", Profile("columns: { time: Moment }"))).Message, StringComparison.Ordinal);

    private static TextTableProfile Profile(string yaml)
    {
        var result = TextTableProfileReader.Parse(yaml, "p.yaml");
        Assert.Empty(result.Diagnostics);
        return result.Profile!;
    }
}
