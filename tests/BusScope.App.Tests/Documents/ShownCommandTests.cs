using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Documents;

/// <summary>
/// A block of a document that begins with <c>$ busscope …</c> shows what that command prints, run in the top folder of the checkout.
/// A last line of <c>...</c> means that more follows. Run with BUSSCOPE_ACCEPT=1 to write what is printed now into the documents.
/// </summary>
public class ShownCommandTests
{
    private const string Fence = "```";
    private const string Prompt = "$ busscope ";
    private const string More = "...";

    private static readonly string[] Documents =
        [RepoFiles.Path("README.md"), RepoFiles.Path("DEVELOPERS.md"), .. Directory.GetFiles(RepoFiles.Path("docs"), "*.md").Order(StringComparer.Ordinal)];

    public static TheoryData<string> Names => [.. Documents.Select(path => Path.GetRelativePath(RepoFiles.Root, path))];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_document_shows_what_its_commands_print(string name)
    {
        var path = RepoFiles.Path(name);
        var lines = File.ReadAllLines(path);

        var now = WithBlocksOfToday(lines);

        if (Environment.GetEnvironmentVariable("BUSSCOPE_ACCEPT") == "1" && Environment.GetEnvironmentVariable("CI") != "true")
        {
            File.WriteAllLines(path, now);
            return;
        }

        Assert.Equal(string.Join('\n', now), string.Join('\n', lines));
    }

    [Fact]
    public void Every_command_stands_in_the_page_of_commands()
    {
        var page = File.ReadAllText(RepoFiles.Path("docs", "command-line.md"));

        Assert.All(
            ["demo", "watch", "learn", "check", "summary", "decode", "convert", "define check", "define show"],
            command => Assert.Contains($"{Prompt}{command} --help\n", page, StringComparison.Ordinal));
    }

    private static List<string> WithBlocksOfToday(string[] lines)
    {
        var now = new List<string>();
        for (var i = 0; i < lines.Length; i++)
        {
            now.Add(lines[i]);
            if (!lines[i].StartsWith(Prompt, StringComparison.Ordinal) || i == 0 || !lines[i - 1].StartsWith(Fence, StringComparison.Ordinal))
            {
                continue;
            }

            var end = Array.FindIndex(lines, i, line => line.StartsWith(Fence, StringComparison.Ordinal));
            var shown = lines[(i + 1)..end];
            now.AddRange(Printed(lines[i][Prompt.Length..], shown));
            i = end - 1;
        }

        return now;
    }

    private static string[] Printed(string arguments, string[] shown)
    {
        var run = CommandRun.Of(arguments.Split(' '));
        var lines = (run.Output + run.Error).TrimEnd('\n').Split('\n');
        return shown is [.., More] && lines.Length >= shown.Length ? [.. lines[..(shown.Length - 1)], More] : lines;
    }
}
