using BusScope.Demo;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Transport;

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

        var opened = new List<IFrameSource>();
        try
        {
            foreach (var name in names)
            {
                var source = OpenOne(name);
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

    private IFrameSource OpenOne(SourceName name)
    {
        var options = new CaptureOptions { IdentifiersSwapped = IdentifiersSwapped };
        return name.IsStandardInput ? CaptureFile.Open(console.Input, "standard input", options)
            : name.Story is { } story ? OpenStory(story)
            : CaptureFile.Open(name.Where, options);
    }

    // A name that is no story is a slip of the person, not of the world.
    private static DemoSource OpenStory(string name) =>
        DemoStories.All.Any(story => story.Name == name)
            ? DemoSource.Open(name)
            : throw new UsageException($"there is no story 'demo:{name}': {string.Join(", ", DemoStories.All.Select(story => story.Name))}");
}
