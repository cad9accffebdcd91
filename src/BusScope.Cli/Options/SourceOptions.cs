using System.CommandLine;
using BusScope.Cli.Sources;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Signals.Definitions;

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

    private readonly Option<bool> setUp = new("--set-up")
    {
        Description = "Set CAN interfaces to listen only, with the bit rate of --bitrate or of the definitions, and switch them on",
    };

    /// <summary>Options for a command that reads captures, or any sources.</summary>
    /// <param name="name">What the help calls the argument: SOURCE or CAPTURE.</param>
    /// <param name="isLive">Whether the command can follow a bus as it happens.</param>
    /// <param name="several">What several sources make.</param>
    public SourceOptions(string name, bool isLive = false, string several = "several make one session") => sources = new Argument<string[]>(name)
    {
        Description = $"{(isLive ? "A CAN interface (can0), a" : "A")} capture file, - for standard input, or demo:NAME; NAME= before it names its bus; {several}",
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

    /// <summary>Adds the option that sets interfaces up, where the command can follow a bus as it happens.</summary>
    public void AddSetUpTo(Command command) => command.Options.Add(setUp);

    /// <summary>The sources as named.</summary>
    public IReadOnlyList<SourceName> Names(ParseResult parsed) => [.. (parsed.GetValue(sources) ?? []).Select(SourceName.Parse)];

    /// <summary>Opens the sources as one, whose buses have the bit rates that are known of them.</summary>
    /// <param name="parsed">What was typed.</param>
    /// <param name="console">The console.</param>
    /// <param name="definitions">Know bit rates.</param>
    /// <exception cref="SourceException">One cannot be opened.</exception>
    public RatedSource Open(ParseResult parsed, ProgramConsole console, DefinitionSet definitions) => Opening(parsed, console, definitions)();

    /// <summary>
    /// What opens the sources as one, each time afresh and in the same way: what a profile says is read the first time, and a path must lead
    /// to the same file. Throws <see cref="SourceException"/> when one cannot be opened; once it was called, for any thread.
    /// </summary>
    public Func<RatedSource> Opening(ParseResult parsed, ProgramConsole console, DefinitionSet definitions) => Opening(parsed, console, definitions, Names(parsed));

    /// <summary>Opens one of the sources by itself.</summary>
    /// <exception cref="SourceException">It cannot be opened.</exception>
    public RatedSource Open(ParseResult parsed, SourceName name, ProgramConsole console) => Opening(parsed, console, DefinitionSet.Empty, [name])();

    private Func<RatedSource> Opening(ParseResult parsed, ProgramConsole console, DefinitionSet definitions, IReadOnlyList<SourceName> names)
    {
        var rates = new BusRates(bitRates.Read(parsed), definitions);
        var opener = new SourceOpener(console)
        {
            Profile = parsed.GetValue(profile),
            IdentifiersSwapped = parsed.GetValue(swapped),
            SetUp = parsed.GetValue(setUp) ? rates : null,
        };
        return () => new RatedSource(opener.Open(names), rates);
    }
}
