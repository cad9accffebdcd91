using BusScope.Cli.Options;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Signals.Loading;
using BusScope.Transport;
using BusScope.Transport.Pcan;
using BusScope.Transport.Streams;
using BusScope.Transport.Tables;

namespace BusScope.Cli.Sources;

/// <summary>From what a person typed to one source of frames.</summary>
internal sealed class SourceOpener(ProgramConsole console)
{
    /// <summary>The profile of a text table, or null.</summary>
    public string? Profile { get; init; }

    /// <summary>Whether identifiers are stored with their bytes the wrong way round.</summary>
    public bool IdentifiersSwapped { get; init; }

    /// <summary>Opens all of them as one source; those opened are closed again when a later one fails.</summary>
    /// <exception cref="SourceException">One cannot be opened.</exception>
    public IFrameSource Open(IReadOnlyList<SourceName> names)
    {
        if (names.Count(name => name.IsStandardInput) > 1)
        {
            throw new UsageException("standard input (-) can be one source only");
        }

        var options = new CaptureOptions { IdentifiersSwapped = IdentifiersSwapped, Table = LoadProfile() };
        var opened = new List<IFrameSource>();
        try
        {
            foreach (var name in names)
            {
                var source = OpenOne(name, options);
                opened.Add(name.Bus is { } bus ? new NamedSource(source, bus) : source);
            }
        }
        catch
        {
            opened.ForEach(source => source.Dispose());
            throw;
        }

        return opened.Count == 1 ? opened[0] : new MergedSource(opened);
    }

    private IFrameSource OpenOne(SourceName name, CaptureOptions options) =>
        name.IsStandardInput ? OpenInput(options)
        : name.Story is { } story ? OpenStory(story)
        : name.Pcan is { } channel ? OpenPcan(channel)
        : CaptureFile.Open(name.Where, options);

    private PcanSource OpenPcan(string channel) => PcanAddress.Parse(channel, Quantity.BitRate, out var fault) is { } address
        ? PcanSource.Open(address, console.PcanLibrary, console.Time)
        : throw new UsageException($"pcan:{channel}: {fault}");

    // A file that the shell has opened is there already; anything else arrives.
    private IFrameSource OpenInput(CaptureOptions options) => console.Input.CanSeek
        ? CaptureFile.Open(console.Input, "standard input", options)
        : new StreamSource(console.Input, "standard input", options);

    private TextTableProfile? LoadProfile()
    {
        if (Profile is null)
        {
            return null;
        }

        var result = TextTableProfileReader.Load(Profile);
        console.Error.Write(DiagnosticText.Render(result.Diagnostics, []));
        return result.Profile ?? throw new UsageException($"{Profile}: is no profile of a text table");
    }

    // A name that is no story is a slip of the person, not of the world.
    private static DemoSource OpenStory(string name) =>
        DemoStories.All.Any(story => story.Name == name)
            ? DemoSource.Open(name)
            : throw new UsageException($"there is no story 'demo:{name}': {string.Join(", ", DemoStories.All.Select(story => story.Name))}");
}
