using System.Collections.Concurrent;
using BusScope.Cli.Options;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.Signals.Loading;
using BusScope.Transport;
using BusScope.Transport.Audit;
using BusScope.Transport.Input;
using BusScope.Transport.Kernel;
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

    /// <summary>Bit rates, where a person asked that interfaces be set up to listen only; else null, and they are left alone.</summary>
    public BusRates? SetUp { get; init; }

    // What is wrong with a profile is said once, however often sources are opened.
    private CaptureOptions? captureOptions;

    // Which file each path led to when it was opened first: what is known of that one says nothing of another.
    private readonly ConcurrentDictionary<string, FileIdentity?> files = new();

    /// <summary>Opens all of them as one source; those opened are closed again when a later one fails.</summary>
    /// <exception cref="SourceException">One cannot be opened.</exception>
    public IFrameSource Open(IReadOnlyList<SourceName> names)
    {
        if (names.Count(name => name.IsStandardInput) > 1)
        {
            throw new UsageException("standard input (-) can be one source only");
        }

        var options = captureOptions ??= new CaptureOptions { IdentifiersSwapped = IdentifiersSwapped, Table = LoadProfile() };
        var opened = new List<IFrameSource>();
        try
        {
            if (names.Where(name => name.IsInterface).ToList() is { Count: > 0 } interfaces)
            {
                opened.Add(OpenInterfaces(interfaces));
            }

            foreach (var name in names.Where(name => !name.IsInterface))
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

    // All of them as one source, which brings their frames into the order of time.
    private AuditedSource OpenInterfaces(List<SourceName> names)
    {
        foreach (var twice in names.GroupBy(name => name.Where).Where(group => group.Count() > 1))
        {
            throw new UsageException($"{twice.Key} is named twice");
        }

        if (SetUp is { } rates)
        {
            foreach (var name in names)
            {
                var (rate, data) = rates.Of(name.Bus ?? name.Where);
                KernelAdapters.SetUp(name.Where, rate, data);
            }
        }

        var source = KernelAdapters.Open([.. names.Select(name => new WantedInterface(name.Where, name.Bus))], console.Time);
        foreach (var note in source.Notes)
        {
            console.Say($"Note: {CleanText.Clean(note)}");
        }

        return new AuditedSource(source);
    }

    private IFrameSource OpenOne(SourceName name, CaptureOptions options) =>
        name.IsStandardInput ? OpenInput(options)
        : name.Story is { } story ? OpenStory(story)
        : name.Pcan is { } channel ? OpenPcan(channel)
        : OpenFile(name.Where, options);

    private IFrameSource OpenFile(string path, CaptureOptions options)
    {
        var source = CaptureFile.Open(path, options);
        var identity = FileIdentity.Of(path);
        if (files.GetOrAdd(path, identity) != identity)
        {
            source.Dispose();
            throw new SourceException($"{path}: is not the file that was read before");
        }

        return source;
    }

    private AuditedSource OpenPcan(string channel) => PcanAddress.Parse(channel, Quantity.BitRate, out var fault) is { } address
        ? new AuditedSource(PcanSource.Open(address, console.PcanLibrary, console.Time))
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
