using System.Globalization;
using System.Text;
using System.Text.Json;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>What a verdict does not speak of stands beside it: rows that were lost, a source that was cut, payloads that nobody judged.</summary>
public sealed class VerdictLimitTests : IDisposable
{
    private const string Definitions = "busscope: 1\nmessages:\n  A: { id: 0x100, every: 10 ms, counter: { byte: 0 } }\n  B: { id: 0x200, every: 10 ms }\n";

    private readonly ScratchFolder folder = new();

    public VerdictLimitTests()
    {
        File.WriteAllText(folder.File("car.yaml"), Definitions);
        var table = new StringBuilder("time,id,data\n");
        for (var i = 0; i < 300; i++)
        {
            table.Append(CultureInfo.InvariantCulture, $"{i * 0.01:0.000},100,{i % 256:X2}\n{(i * 0.01) + 0.001:0.000},200,00\n");
        }

        File.WriteAllText(folder.File("whole.csv"), table.ToString());
        File.WriteAllText(folder.File("lost.csv"), table.ToString() + "3.000,xyz,00\n3.001,100,zz\n");
    }

    public void Dispose() => folder.Dispose();

    [Fact]
    public void Rows_that_could_not_be_read_are_told_first()
    {
        var check = Check("lost.csv");

        Assert.Equal(0, check.Status);
        Assert.StartsWith("GO 2 rows or blocks of the source could not be read, first at line 602; what was in there is not judged. Every message arrives as expected.", Unwrapped(check), StringComparison.Ordinal);
        using var json = JsonDocument.Parse(Check("lost.csv", "--format", "json").Output);
        Assert.StartsWith("2 rows or blocks of the source could not be read", json.RootElement.GetProperty("reason").GetString(), StringComparison.Ordinal);
        Assert.StartsWith("GO Every message arrives as expected.", Unwrapped(Check("whole.csv")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_source_that_was_cut_is_the_first_reason()
    {
        Assert.Equal(0, CommandRun.Of("convert", folder.File("whole.csv"), "--out", folder.File("whole.pcapng")).Status);
        File.WriteAllBytes(folder.File("cut.pcapng"), File.ReadAllBytes(folder.File("whole.pcapng"))[..^30]);

        var check = Check("cut.pcapng");

        Assert.Equal(1, check.Status);
        Assert.StartsWith("INCONCLUSIVE The source is not whole: the file ends in the middle of a record. ", Unwrapped(check), StringComparison.Ordinal);
    }

    [Fact]
    public void What_the_verdict_rests_on_stands_beside_it()
    {
        var check = Check("whole.csv", "--report", folder.File("page.html"));

        Assert.Contains(" Judged: 2 messages, 2 by time and 1 by content; 0 by neither. What the payload of 1 says is not judged. ", Unwrapped(check), StringComparison.Ordinal);
        Assert.Contains("<p>Judged: 2 messages, 2 by time and 1 by content; 0 by neither. What the payload of 1 says is not judged.</p>", File.ReadAllText(folder.File("page.html")), StringComparison.Ordinal);
        using var json = JsonDocument.Parse(Check("whole.csv", "--format", "json").Output);
        Assert.Equal("""{"messages":2,"by_time":2,"by_content":1,"by_neither":0}""", JsonSerializer.Serialize(json.RootElement.GetProperty("judged")));
    }

    [Fact]
    public void Decoding_with_definitions_of_which_nothing_came_says_so()
    {
        File.WriteAllText(folder.File("other.yaml"), "busscope: 1\nmessages: { A: { id: 0x7A0, signals: { S: { byte: 0 } } } }\n");

        Assert.Contains("No message of the definitions came", CommandRun.Of("decode", folder.File("whole.csv"), "--defs", folder.File("other.yaml")).Error, StringComparison.Ordinal);
        Assert.DoesNotContain("No message", CommandRun.Of("decode", folder.File("whole.csv"), "--defs", folder.File("car.yaml")).Error, StringComparison.Ordinal);
    }

    private static string Unwrapped(CommandRun run) => run.Output.Replace('\n', ' ');

    private CommandRun Check(string capture, params IReadOnlyList<string> more) =>
        CommandRun.Of(["check", folder.File(capture), "--defs", folder.File("car.yaml"), .. more]);
}
