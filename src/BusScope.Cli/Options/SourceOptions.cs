using System.CommandLine;
using BusScope.Cli.Sources;
using BusScope.Frames;

namespace BusScope.Cli.Options;

/// <summary>Which sources a command reads, and how: the same words for every command.</summary>
internal sealed class SourceOptions
{
    private readonly Argument<string[]> sources;
    private readonly BitRateOption bitRates = new();
    private readonly Option<string?> profile = new("--profile")
    {
        Description = "How to read a text table that does not explain itself (docs/captures-text-tables.md)",
        HelpName = "FILE",
    };

    private readonly Option<bool> swapped = new("--identifiers-swapped")
    {
        Description = "The file stores identifiers with their bytes the wrong way round",
    };

    /// <summary>Options for a command that reads captures, or any sources.</summary>
    /// <param name="name">What the help calls the argument: SOURCE or CAPTURE.</param>
    /// <param name="description">What the help says of it, or null where several make one session.</param>
    public SourceOptions(string name, string? description = null) => sources = new Argument<string[]>(name)
    {
        Description = description ?? "A capture file, - for standard input, or demo:NAME; NAME= before it names its bus; several make one session",
        Arity = ArgumentArity.OneOrMore,
    };

    /// <summary>Adds argument and options to a command.</summary>
    public void AddTo(Command command)
    {
        OptionLike.Reject(sources, command);
        command.Arguments.Add(sources);
        command.Options.Add(profile);
        command.Options.Add(swapped);
    }

    /// <summary>Adds the option for bit rates, where the command shows bus load.</summary>
    public void AddBitRatesTo(Command command) => bitRates.AddTo(command);

    /// <summary>The sources as named.</summary>
    public IReadOnlyList<SourceName> Names(ParseResult parsed) => [.. (parsed.GetValue(sources) ?? []).Select(SourceName.Parse)];

    /// <summary>Bits per second by name of bus; the empty name stands for every bus.</summary>
    public Dictionary<string, long> BitRates(ParseResult parsed) => bitRates.Read(parsed);

    /// <summary>Opens the sources as one.</summary>
    /// <exception cref="SourceException">One cannot be opened.</exception>
    public IFrameSource Open(ParseResult parsed, ProgramConsole console) =>
        new SourceOpener(console) { Profile = parsed.GetValue(profile), IdentifiersSwapped = parsed.GetValue(swapped) }.Open(Names(parsed));

    /// <summary>Opens one of the sources by itself.</summary>
    /// <exception cref="SourceException">It cannot be opened.</exception>
    public IFrameSource Open(ParseResult parsed, SourceName name, ProgramConsole console) =>
        new SourceOpener(console) { Profile = parsed.GetValue(profile), IdentifiersSwapped = parsed.GetValue(swapped) }.Open([name]);
}
