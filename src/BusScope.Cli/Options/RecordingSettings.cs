using System.CommandLine;
using BusScope.Cli.Sources;
using BusScope.Frames;
using BusScope.Transport.Pcapng;
using BusScope.Transport.Recording;

namespace BusScope.Cli.Options;

/// <summary>How <c>record</c> writes: file, turns, limits, and what it waits for.</summary>
internal sealed class RecordingSettings
{
    private const long SmallestFile = 100_000;

    private readonly Option<string> output = new("--out") { Description = "The file to write, pcapng", HelpName = "FILE", Required = true };
    private readonly Option<bool> force = new("--force") { Description = "Overwrite the file if it is there" };
    private readonly Option<string?> rotateSize = Size("--rotate-size", "Begin the next file before this one is larger: 100MB");
    private readonly Option<string?> rotateTime = Time("--rotate-time", "Begin the next file after this time: 10min");
    private readonly Option<string?> keep = Size("--keep", "Remove the oldest files of this recording when all together are larger: 2GB");
    private readonly Option<string?> leaveFree = Size("--leave-free", "End before the disk has less room than this [default: 100MB]");
    private readonly Option<string?> before = Time("--before", "Wait for --when, or for the Enter key, and keep this much of what came before it");
    private readonly Option<string?> condition = new("--when") { Description = "Wait until this expression over the signals of --defs holds: 'EngineSpeed > 500'", HelpName = "EXPR" };
    private readonly Option<string?> length = Time("--for", "Stop after this much time on the bus; with a trigger, counted from there");

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        foreach (var option in (Option[])[output, force, length, rotateSize, rotateTime, keep, leaveFree, before, condition])
        {
            command.Options.Add(option);
        }
    }

    /// <summary>The expression that is waited for, or null.</summary>
    public string? Condition(ParseResult parsed) => parsed.GetValue(condition);

    /// <summary>How much time is recorded, or null.</summary>
    public FrameSpan? Length(ParseResult parsed) => Span(parsed, length);

    /// <summary>What was asked for.</summary>
    /// <exception cref="UsageException">It cannot be had together.</exception>
    public RecordingOptions Read(ParseResult parsed, IReadOnlyList<SourceName> sources, IEnumerable<string> definitions, ProgramConsole console)
    {
        var path = parsed.GetRequiredValue(output);
        var options = new RecordingOptions(path)
        {
            RotateSize = Bytes(parsed, rotateSize),
            RotateTime = Span(parsed, rotateTime) is { } span ? TimeSpan.FromSeconds(span.Seconds) : null,
            Keep = Bytes(parsed, keep),
            LeaveFree = Bytes(parsed, leaveFree) ?? RecordingOptions.UsualRoomLeft,
            Overwrite = parsed.GetValue(force),
            Length = Length(parsed),
            Before = Span(parsed, before) ?? (Condition(parsed) is null ? null : FrameSpan.Zero),
        };
        if (options.Before is not null && Condition(parsed) is null && !console.InputIsTerminal)
        {
            throw new UsageException("--before waits for something, and nothing can come: name a condition with --when, or start it from a terminal, where Enter begins");
        }

        if (options.Keep is { } total && (!options.TakesTurns || total < 2 * SmallestFile))
        {
            throw new UsageException(options.TakesTurns
                ? $"--keep {parsed.GetValue(keep)}: is less than two files of {SmallestFile / 1000}kB"
                : "--keep removes the oldest files of several: say with --rotate-size or --rotate-time when the next one begins");
        }

        if (options.RotateSize < SmallestFile)
        {
            throw new UsageException($"--rotate-size {parsed.GetValue(rotateSize)}: is less than {SmallestFile / 1000}kB");
        }

        Refuse(options, sources, definitions, "; --force overwrites it");
        return options;
    }

    /// <summary>Refuses to write over a file that is there, or over what is read.</summary>
    /// <exception cref="UsageException">It would.</exception>
    public static void Refuse(RecordingOptions options, IReadOnlyList<SourceName> sources, IEnumerable<string> definitions, string wayOut = "")
    {
        OutputPath.Refuse(options.Path);
        OutputGuard.Refuse(options.Path, sources, definitions, "recording");
        if (!options.TakesTurns && !options.Overwrite && File.Exists(options.Path))
        {
            throw new UsageException($"{options.Path}: is there already{wayOut}");
        }
    }

    private static long? Bytes(ParseResult parsed, Option<string?> option) => parsed.GetValue(option) is { } text ? Quantity.Bytes(text) : null;

    private static FrameSpan? Span(ParseResult parsed, Option<string?> option) => parsed.GetValue(option) is { } text ? Quantity.Span(text) : null;

    private static Option<string?> Size(string name, string description)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = "SIZE" };
        option.Validators.Add(result =>
        {
            if (result.Tokens is [var token] && Quantity.Bytes(token.Value) is null)
            {
                result.AddError($"'{token.Value}' is no size: write 500kB, 100MB or 2GB");
            }
        });
        return option;
    }

    private static Option<string?> Time(string name, string description)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = "TIME" };
        option.Validators.Add(result =>
        {
            if (result.Tokens is [var token] && Quantity.Span(token.Value) is null)
            {
                result.AddError($"'{token.Value}' is no length of time: write 60s, 500ms or 2min");
            }
        });
        return option;
    }
}
