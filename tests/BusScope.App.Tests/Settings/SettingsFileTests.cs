using BusScope.Cli.Settings;
using BusScope.Terminal;
using Xunit;

namespace BusScope.App.Tests.Settings;

public sealed class SettingsFileTests : IDisposable
{
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

    [Fact]
    public void Comments_and_order_of_the_file_stay()
    {
        Write("""
            # mine
            refresh: 5   # a slow line

            watch:       # what I look at
              - A/B
              # between
              - C/D
            # below the list
            trace: [E/F, G/H]
            ascii: true
            """);
        var file = new SettingsFile(PathOf);

        Assert.Null(file.Remember(new ScreenMemory { Watched = ["A/B"], Traced = ["E/F"] }));

        Assert.Equal("""
            # mine
            refresh: 5   # a slow line

            watch:
              - A/B
            # below the list
            trace:
              - E/F
            ascii: true
            units: metric

            """.ReplaceLineEndings("\n"), File.ReadAllText(PathOf));
        Assert.Equal((5, true), (file.Read().Refresh, file.Read().Ascii));
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

    [Fact]
    public void A_file_in_brackets_is_left_as_it_is_and_that_is_told()
    {
        Write("{ units: us, refresh: 5 }");
        var file = new SettingsFile(PathOf);

        Assert.Contains("left as it is", file.Remember(new ScreenMemory { Watched = ["A/B"] }), StringComparison.Ordinal);
        Assert.Equal("{ units: us, refresh: 5 }", File.ReadAllText(PathOf));
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
