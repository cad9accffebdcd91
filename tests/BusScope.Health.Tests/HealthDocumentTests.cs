using System.Globalization;
using System.Text.RegularExpressions;
using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Findings;
using BusScope.Signals.Definitions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests;

/// <summary>docs/health.md says what the code does: its tables are the test data.</summary>
public partial class HealthDocumentTests
{
    private static readonly string[] Lines = File.ReadAllLines(RepoFiles.Path("docs", "health.md"));

    public static TheoryData<string, string> WorkedExample()
    {
        var data = new TheoryData<string, string>();
        foreach (var cells in Rows(2).Where(cells => Milliseconds().IsMatch(cells[0])))
        {
            data.Add(cells[0], cells[1]);
        }

        return data;
    }

    public static TheoryData<string, string> Thresholds()
    {
        var data = new TheoryData<string, string>();
        foreach (var cells in Rows(3).Where(cells => cells[1] == "fault" && Percent().IsMatch(cells[2]) && cells[2].StartsWith("at least", StringComparison.Ordinal)))
        {
            data.Add(cells[0], cells[2]);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(WorkedExample))]
    public void The_worked_example_is_what_an_expectation_says(string age, string state)
    {
        var expectation = new Expectation(
            new MessageTiming { Every = FrameSpan.FromMilliseconds(20), LateAfter = FrameSpan.FromMilliseconds(30), StaleAfter = FrameSpan.FromMilliseconds(200) });
        expectation.Begin(new FrameTime(0));
        expectation.Arrive([0], 0);

        var said = expectation.StateAt(new FrameTime(0) + FrameSpan.FromMilliseconds(double.Parse(Milliseconds().Match(age).Groups[1].Value, CultureInfo.InvariantCulture)));

        Assert.Equal(state, said.ToString(), ignoreCase: true);
    }

    [Fact]
    public void Every_finding_is_in_the_table_and_nothing_else() =>
        Assert.Equal(FindingCodes.All.Order(), Rows(3).Select(cells => cells[0]).Where(code => code != "code").Distinct().Order());

    [Theory]
    [MemberData(nameof(Thresholds))]
    public void The_thresholds_of_the_table_are_those_of_the_code(string code, string text)
    {
        var threshold = code switch
        {
            "checksum-wrong" or "wrong-length" => Threshold.Rejected,
            "counter-repeated" or "counter-skipped" => Threshold.Counter,
            _ => Threshold.Value,
        };

        Assert.Equal(long.Parse(Number().Match(text).Value, CultureInfo.InvariantCulture), threshold.AtLeast);
        Assert.Equal(double.Parse(Percent().Match(text).Groups[1].Value, CultureInfo.InvariantCulture) / 100, threshold.Share, 9);
        Assert.Equal(Stretch().Match(text) is { Success: true } stretch ? long.Parse(stretch.Groups[1].Value, CultureInfo.InvariantCulture) : long.MaxValue, threshold.InStretch);
    }

    [Theory]
    [InlineData(2, 3, 3, false)]
    [InlineData(3, 1_000_000, 3, true)]
    [InlineData(3, 1_000_000, 2, false)]
    [InlineData(11, 10_000, 1, true)]
    [InlineData(10, 10_000, 1, false)]
    public void A_threshold_is_exceeded_by_share_or_by_a_stretch_but_never_by_a_few(long wrong, long all, long stretch, bool expected) =>
        Assert.Equal(expected, Threshold.Rejected.IsExceeded(wrong, all, stretch));

    private static IEnumerable<string[]> Rows(int columns) =>
        Lines.Where(line => line.StartsWith('|') && !line.StartsWith("|-", StringComparison.Ordinal))
            .Select(line => line.Trim('|').Split('|', StringSplitOptions.TrimEntries))
            .Where(cells => cells.Length == columns);

    [GeneratedRegex(@"^(\d+) ms$")]
    private static partial Regex Milliseconds();

    [GeneratedRegex(@"more than ([\d.]+) %")]
    private static partial Regex Percent();

    [GeneratedRegex(@"\d+")]
    private static partial Regex Number();

    [GeneratedRegex(@"or (\d+) in a stretch")]
    private static partial Regex Stretch();
}
