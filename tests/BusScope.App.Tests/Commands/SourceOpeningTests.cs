using System.CommandLine;
using BusScope.Cli;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Signals.Definitions;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>Sources that are opened more than once, as the screen does it to jump about in a recording.</summary>
public sealed class SourceOpeningTests : IDisposable
{
    private const string Table = "Moment|Kennung|x|y\n1.5|416|0A|0B\n";
    private const string Profile = """
        separator: "|"
        columns: { time: Moment, id: Kennung, data: 3..4 }
        time: { unit: ms }
        id: { base: decimal }
        """;

    private readonly ScratchFolder folder = new();
    private readonly StringWriter error = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public void The_profile_of_a_table_is_read_once_and_may_be_gone_afterwards()
    {
        var (table, profile) = (folder.Write("drive.txt", Table), folder.Write("table.yaml", Profile));
        var open = Opening(table, "--profile", profile);
        open().Dispose();

        File.Delete(profile);

        using var again = open();
        Assert.Equal(SourceState.Frames, again.Read(new FrameBatch(), TestContext.Current.CancellationToken));
    }

    [Fact]
    public void Another_file_that_has_the_path_by_now_is_refused()
    {
        var (table, profile, other) = (folder.Write("drive.txt", Table), folder.Write("table.yaml", Profile), folder.Write("other.txt", Table));
        var open = Opening(table, "--profile", profile);
        open().Dispose();

        File.Move(other, table, overwrite: true);

        Assert.Equal($"{table}: is not the file that was read before", Assert.Throws<SourceException>(() => open()).Message);
    }

    private Func<RatedSource> Opening(params string[] arguments)
    {
        var sources = new SourceOptions("SOURCE");
        var command = new Command("test");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        sources.AddSetUpTo(command);
        return sources.Opening(command.Parse(arguments), new ProgramConsole(Stream.Null, Stream.Null, error), DefinitionSet.Empty);
    }
}
