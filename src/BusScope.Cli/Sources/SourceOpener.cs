using BusScope.Frames;
using BusScope.Session;

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

    private IFrameSource OpenOne(SourceName name) =>
        throw new SourceException($"{name.Where}: not yet readable{Profile}{IdentifiersSwapped}{console.Input}");
}
