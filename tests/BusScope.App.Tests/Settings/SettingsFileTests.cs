using BusScope.Cli.Settings;
using BusScope.Terminal;
using CsCheck;
using Xunit;

namespace BusScope.App.Tests.Settings;

public sealed class SettingsFileTests : IDisposable
{
    private static readonly string[] Files = ["", "# one\nrefresh: 10\n", "trace:\n  - A/B # x\nascii: true\n", "watch: [A, B]\nunits: us\n"];

    private readonly ScratchFolder folder = new();

    private string PathOf => Path.Combine(folder.Path, "deep", "settings.yaml");

    [Fact]
    public void What_was_remembered_is_read_back()
    {
        var file = new SettingsFile(PathOf);

        Assert.Null(file.Remember(new ScreenMemory { Watched = ["EngineSpeed/EngineSpeed", "odd: 'name' #1"], Traced = ["Slip"], IsUs = true }));
        var read = file.Read();

        Assert.Empty(read.Faults);
        Assert.Equal(["EngineSpeed/EngineSpeed", "odd: 'name' #1"], read.Watch);
        Assert.Equal(["Slip"], read.Trace);
        Assert.Equal("us", read.Units);
    }

    [Theory]
    [InlineData("\n")]
    [InlineData("\r\n")]
    public void Comments_order_and_line_ends_of_the_file_stay(string lineEnd)
    {
        Write("""
            # mine
            refresh: 5   # a slow line
            units: metric  # for now

            watch:       # what I look at
              - A/B      # first
              # between
              - C/D
              # before the last
              - "E/F"
            # below the list
            trace: [E/F, G/H]
            ascii: true
            """.ReplaceLineEndings(lineEnd));
        var file = new SettingsFile(PathOf);

        Assert.Null(file.Remember(new ScreenMemory { Watched = ["E/F", "New/One", "A/B"], Traced = ["E/F"], IsUs = true }));

        Assert.Equal("""
            # mine
            refresh: 5   # a slow line
            units: us  # for now

            watch:  # what I look at
              # between
              # before the last
              - "E/F"
              - New/One
              - A/B      # first
            # below the list
            trace:
              - E/F
            ascii: true

            """.ReplaceLineEndings(lineEnd), File.ReadAllText(PathOf));
        Assert.Equal((5, true), (file.Read().Refresh, file.Read().Ascii));
    }

    [Fact]
    public void Where_nothing_is_new_the_file_is_not_touched()
    {
        Write("units: us\nwatch: [ A/B ]   # mine\ntrace: []");
        File.SetLastWriteTimeUtc(PathOf, new DateTime(2020, 1, 1, 0, 0, 0, DateTimeKind.Utc));

        Assert.Null(new SettingsFile(PathOf).Remember(new ScreenMemory { Watched = ["A/B"], IsUs = true }));

        Assert.Equal("units: us\nwatch: [ A/B ]   # mine\ntrace: []\n".TrimEnd('\n'), File.ReadAllText(PathOf).TrimEnd('\n'));
    }

    [Fact]
    public void Whatever_is_remembered_is_read_back_and_nothing_else_changes()
    {
        var name = Gen.Char["abXY/_- #:'\"[]{},.&*!|>%@`~9"].Array[1, 8].Select(characters => new string(characters).Trim()).Where(text => text.Length > 0);
        var list = name.List[0, 4].Select(names => names.Distinct().ToList());
        Gen.Select(list, list, Gen.Bool, Gen.Int[0, Files.Length - 1].Select(index => Files[index])).Sample((watched, traced, isUs, before) =>
        {
            Write(before);
            var file = new SettingsFile(PathOf);
            var (refresh, ascii) = (file.Read().Refresh, file.Read().Ascii);

            Assert.Null(file.Remember(new ScreenMemory { Watched = watched, Traced = traced, IsUs = isUs }));

            var read = file.Read();
            Assert.Empty(read.Faults);
            Assert.Equal(watched, read.Watch);
            Assert.Equal(traced, read.Trace);
            Assert.Equal((isUs ? "us" : "metric", refresh, ascii), (read.Units, read.Refresh, read.Ascii));
        }, iter: 200, threads: 1);
    }

    [Fact]
    public void A_link_stays_a_link()
    {
        Write("units: metric\n");
        var elsewhere = Path.Combine(folder.Path, "dotfiles.yaml");
        File.Move(PathOf, elsewhere);
        File.CreateSymbolicLink(PathOf, elsewhere);

        Assert.Null(new SettingsFile(PathOf).Remember(new ScreenMemory { IsUs = true }));

        Assert.Equal(elsewhere, new FileInfo(PathOf).LinkTarget);
        Assert.Contains("units: us", File.ReadAllText(elsewhere), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("refresh: 7", "settings.yaml:1: refresh: expected 2, 5, 10, 20")]
    [InlineData("units: imperial", "settings.yaml:1: units: expected metric or us")]
    [InlineData("ascii: maybe", "settings.yaml:1: ascii: expected true or false")]
    [InlineData("\nwatch: A/B", "settings.yaml:2: watch: expected a list of signals")]
    [InlineData("watch: [[a]]", "settings.yaml:1: watch: expected the name of a signal")]
    [InlineData("colour: red", "settings.yaml:1: 'colour' is no setting: units, refresh, ascii, watch, trace")]
    [InlineData("- a", "settings.yaml:1: a mapping of settings is expected")]
    [InlineData("units: us\n---\nunits: metric", "settings.yaml:2: not readable as YAML")]
    [InlineData("units: 'us", "settings.yaml:1: not readable as YAML")]
    [InlineData("? [a]\n: b", "settings.yaml:1: a key is expected")]
    public void A_fault_is_told_with_its_line_and_the_file_is_left_as_it_is(string text, string fault)
    {
        Write(text);
        var file = new SettingsFile(PathOf);

        Assert.Contains(fault, Assert.Single(file.Read().Faults), StringComparison.Ordinal);
        Assert.Contains("settings.yaml:", file.Remember(new ScreenMemory()), StringComparison.Ordinal);
        Assert.Equal(text, File.ReadAllText(PathOf));
    }

    [Theory]
    [InlineData("{ units: us, refresh: 5 }")]
    [InlineData("  units: us\n  refresh: 5\n")]
    [InlineData("units: us\n...\n")]
    public void A_file_that_is_not_written_in_lines_is_left_as_it_is_and_that_is_told(string text)
    {
        Write(text);
        var file = new SettingsFile(PathOf);

        Assert.Contains("left as it is", file.Remember(new ScreenMemory { Watched = ["A/B"] }), StringComparison.Ordinal);
        Assert.Equal(text, File.ReadAllText(PathOf));
        Assert.Equal("us", file.Read().Units);
    }

    [Theory]
    [InlineData("")]
    [InlineData("# nothing yet\n")]
    public void An_empty_file_is_no_fault(string text)
    {
        Write(text);

        Assert.Empty(new SettingsFile(PathOf).Read().Faults);
        Assert.Null(new SettingsFile(PathOf).Remember(new ScreenMemory { Watched = ["A/B"] }));
        Assert.StartsWith(text, File.ReadAllText(PathOf), StringComparison.Ordinal);
        Assert.Equal(["A/B"], new SettingsFile(PathOf).Read().Watch);
    }

    [Fact]
    public void What_cannot_be_written_is_told()
    {
        File.WriteAllText(Path.Combine(folder.Path, "deep"), "a file where a folder should be");

        Assert.EndsWith("settings.yaml)", new SettingsFile(PathOf).Remember(new ScreenMemory()), StringComparison.Ordinal);
    }

    public void Dispose() => folder.Dispose();

    private void Write(string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(PathOf)!);
        File.WriteAllText(PathOf, text);
    }
}
