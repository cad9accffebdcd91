using System.Text.RegularExpressions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>docs/terminal-ui.md shows the screens of the snapshots and lists the keys of the table.</summary>
public sealed partial class DocumentTests
{
    private static readonly string Document = File.ReadAllText(RepoFiles.Path("docs", "terminal-ui.md")).ReplaceLineEndings("\n");

    [Fact]
    public void Each_screen_shown_is_one_that_is_tested()
    {
        var screens = Screen().Matches(Document);

        Assert.NotEmpty(screens);
        Assert.All(screens, screen => Assert.Equal(
            File.ReadAllText(RepoFiles.Path("tests", "BusScope.Terminal.Tests", "Snapshots", screen.Groups["name"].Value)).ReplaceLineEndings("\n"),
            screen.Groups["text"].Value));
    }

    [Fact]
    public void The_keys_listed_are_the_keys_obeyed()
    {
        var listed = KeyRow().Matches(Document).Select(row => $"{row.Groups["keys"].Value} | {row.Groups["meaning"].Value}{(row.Groups["where"].Value.Length > 0 ? " (recordings)" : "")}");

        Assert.Equal(Screens.Keys.All.Select(key => $"{key.Shown} | {key.Meaning}{(key.ForReplay ? " (recordings)" : "")}"), listed);
    }

    [Fact]
    public void The_keys_listed_for_the_page_of_a_message_are_the_keys_obeyed_there()
    {
        var listed = OwnKeyRow().Matches(Document).Select(row => $"{row.Groups["keys"].Value} | {row.Groups["meaning"].Value}");

        Assert.Equal(Screens.Keys.OfMessage.Select(key => $"{key.Shown} | {key.Meaning}"), listed);
    }

    [GeneratedRegex(@"<!-- (?<name>\S+\.txt) -->\n```text\n(?<text>.*?)```", RegexOptions.Singleline)]
    private static partial Regex Screen();

    [GeneratedRegex(@"^\| `(?<keys>[^`]+)` \| (?<meaning>.+?) \| (?<where>recordings)? ?\|$", RegexOptions.Multiline)]
    private static partial Regex KeyRow();

    [GeneratedRegex(@"^\| `(?<keys>[^`]+)` \| (?<meaning>[^|]+) \|$", RegexOptions.Multiline)]
    private static partial Regex OwnKeyRow();
}
