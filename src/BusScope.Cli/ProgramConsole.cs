using System.Text;
using BusScope.Cli.Settings;
using BusScope.Reports.Layout;
using BusScope.Transport.Recording;

namespace BusScope.Cli;

/// <summary>What the program has around it: three streams, what they are, and the time. Tests give it streams of their own.</summary>
internal sealed class ProgramConsole : IDisposable
{
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false);

    /// <summary>A console over streams.</summary>
    public ProgramConsole(Stream input, Stream output, TextWriter error)
    {
        Input = input;
        OutputBytes = output;
        Output = new StreamWriter(output, Utf8, bufferSize: 16 * 1024, leaveOpen: true) { NewLine = "\n" };
        Error = error;
    }

    /// <summary>Standard input.</summary>
    public Stream Input { get; private set; }

    /// <summary>Standard output as bytes. What was written to <see cref="Output"/> before must be flushed first.</summary>
    public Stream OutputBytes { get; }

    /// <summary>Standard output as text; buffered until the command has ended.</summary>
    public TextWriter Output { get; }

    /// <summary>Standard error.</summary>
    public TextWriter Error { get; }

    /// <summary>Whether a person may type on standard input.</summary>
    public bool InputIsTerminal { get; init; }

    /// <summary>Whether a person watches standard error.</summary>
    public bool ErrorIsTerminal { get; init; }

    /// <summary>Whether a person wants colour where it can be shown (NO_COLOR, TERM).</summary>
    public bool WantsColour { get; init; }

    /// <summary>How reports are coloured.</summary>
    public Ink Ink { get; init; } = Ink.Plain;

    /// <summary>Whether our own faults are told with their stack trace (BUSSCOPE_TRACE).</summary>
    public bool ShowsTrace { get; init; }

    /// <summary>Where the maker's library for its adapters is, where the system does not find it by itself (BUSSCOPE_PCANBASIC); or null.</summary>
    public string? PcanLibrary { get; init; }

    /// <summary>Where the settings of the user are, or will be; null for none.</summary>
    public string? SettingsPath { get; init; }

    /// <summary>Where "now" comes from.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    /// <summary>How much room the disks have.</summary>
    public IDiskSpace Disk { get; init; } = new DiskSpace();

    /// <summary>The console of this process.</summary>
    public static ProgramConsole OfThisProcess()
    {
        var wantsColour = string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"))
            && Environment.GetEnvironmentVariable("TERM") is not "dumb";
        return new ProgramConsole(StandardInput.Open(), StandardOutput.Open(), Console.Error)
        {
            InputIsTerminal = StandardInput.IsTerminal(),
            ErrorIsTerminal = !Console.IsErrorRedirected,
            WantsColour = wantsColour,
            Ink = new Ink(wantsColour && !Console.IsOutputRedirected),
            SettingsPath = SettingsFile.UsualPath,
            PcanLibrary = Environment.GetEnvironmentVariable("BUSSCOPE_PCANBASIC") is { Length: > 0 } library ? library : null,
            ShowsTrace = !string.IsNullOrEmpty(Environment.GetEnvironmentVariable("BUSSCOPE_TRACE")),
        };
    }

    /// <summary>Takes what arrives on standard input aside, so that a screen gets its keys from the terminal.</summary>
    /// <returns>False where there is no terminal to get them from.</returns>
    public bool TakeInputAside()
    {
        if (StandardInput.TakeAside() is not { } arriving)
        {
            return false;
        }

        Input = arriving;
        return true;
    }

    /// <summary>Says something beside the result.</summary>
    public void Say(string text) => Error.WriteLine(text);

    /// <inheritdoc/>
    public void Dispose() => Output.Dispose();
}
