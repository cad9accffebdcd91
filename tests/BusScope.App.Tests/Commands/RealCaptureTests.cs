using System.Text.Json;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>
/// Recordings of real cars with known facts: SOURCES.md beside them (from their publisher's notes and an independent analysis). They are read where
/// they lie, and the tests are skipped where they are not.
/// </summary>
public class RealCaptureTests
{
    [Theory]
    [InlineData("vehicle-two-buses-off-on-ready-off.csv", 39_546, 10.84, new[] { 101, 52 })]
    [InlineData("drive-controller-alone-on-bench.csv", 9_473, 10.38, new[] { 22 })]
    [InlineData("start-refused-no-key.csv", 14_294, 27.70, new[] { 67 })]
    [InlineData("diagnostic-bus-scan.csv", 1_845, 1_057, new[] { 72 })]
    [InlineData("small-bus-stale-rows-negative-times.csv", 27_982, 46.51, new[] { 6 })]
    public void A_summary_counts_what_is_known_to_be_there(string file, int frames, double seconds, int[] identifiers)
    {
        using var summary = Summary(RepoFiles.Shared("captures", file));

        var root = summary.RootElement;
        Assert.Equal(frames, root.GetProperty("frames").GetInt32());
        Assert.Equal(seconds, root.GetProperty("duration_s").GetDouble(), seconds > 100 ? 1.0 : 0.01);
        Assert.Equal(identifiers.Sum(), root.GetProperty("ids").GetArrayLength());
        if (identifiers.Length > 1)
        {
            Assert.Equal(identifiers, root.GetProperty("buses").EnumerateArray().Select(bus => bus.GetProperty("ids").GetInt32()));
        }
    }

    [Fact]
    public void The_load_of_the_vehicle_is_exact_to_the_stuffed_bit()
    {
        using var summary = Summary(RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv"), "--bitrate", "500k");

        var loads = summary.RootElement.GetProperty("buses").EnumerateArray().Select(bus => bus.GetProperty("load_mean_pct").GetDouble()).ToArray();
        Assert.Equal(52.8, loads[0], 0.1);
        Assert.Equal(32.2, loads[1], 0.1);
    }

    [Fact]
    public void The_board_on_the_bench_keeps_the_periods_of_the_vehicle()
    {
        using var bench = Summary(RepoFiles.Shared("captures", "drive-controller-alone-on-bench.csv"));
        using var vehicle = Summary(RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv"));

        var inVehicle = Medians(vehicle, vehicle.RootElement.GetProperty("buses")[0].GetProperty("name").GetString());
        var onBench = Medians(bench, null);

        Assert.Equal(22, onBench.Count);
        Assert.All(onBench, each => Assert.Equal(each.Value, inVehicle[each.Key], each.Value * 0.05));
    }

    [Fact]
    public void Stale_rows_and_negative_times_are_told()
    {
        using var summary = Summary(RepoFiles.Shared("captures", "small-bus-stale-rows-negative-times.csv"));

        var root = summary.RootElement;
        Assert.StartsWith("-0.36", root.GetProperty("start_s").GetString(), StringComparison.Ordinal);
        var problems = root.GetProperty("problems").EnumerateArray().ToDictionary(problem => problem.GetProperty("code").GetString()!, problem => problem.GetProperty("count").GetInt64());
        Assert.Equal(88, problems["stale-frames"]);
        Assert.True(problems["time-below-zero"] > 0);
    }

    [Theory]
    [InlineData("vehicle-two-buses-off-on-ready-off.csv")]
    [InlineData("small-bus-stale-rows-negative-times.csv")]
    public void Converted_and_read_again_the_summary_is_the_same(string file)
    {
        using var folder = new ScratchFolder();
        var source = RepoFiles.Shared("captures", file);
        var copy = folder.File("copy.pcapng");

        var convert = CommandRun.Of("convert", source, "--out", copy);

        Assert.Equal(0, convert.Status);
        Assert.Equal(WithoutTheFile(CommandRun.Of("summary", source, "--format", "json")), WithoutTheFile(CommandRun.Of("summary", copy, "--format", "json")));
    }

    private static Dictionary<string, double> Medians(JsonDocument summary, string? bus) => summary.RootElement.GetProperty("ids").EnumerateArray()
        .Where(id => bus is null || id.GetProperty("bus").GetString() == bus)
        .Where(id => id.GetProperty("period_ms").GetProperty("median").ValueKind == JsonValueKind.Number)
        .ToDictionary(id => id.GetProperty("id").GetString()!, id => id.GetProperty("period_ms").GetProperty("median").GetDouble());

    private static JsonDocument Summary(params string[] arguments)
    {
        var run = CommandRun.Of(["summary", .. arguments, "--format", "json"]);
        Assert.Equal(0, run.Status);
        return JsonDocument.Parse(run.Output);
    }

    // What was wrong with the rows of the table is not wrong with the frames of the copy.
    private static string WithoutTheFile(CommandRun summary)
    {
        using var json = JsonDocument.Parse(summary.Output);
        return string.Join('\n', json.RootElement.EnumerateObject().Where(field => field.Name is not ("source" or "problems")).Select(field => field.ToString()));
    }
}
