using System.CommandLine;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session.Recording;
using BusScope.Transport.Recording;

namespace BusScope.Cli.Options;

/// <summary><c>--record FILE</c>: what a command reads is recorded at the same time.</summary>
internal sealed class RecordOption
{
    private readonly Option<string?> option = new("--record") { Description = "Record everything that is read into this file, pcapng", HelpName = "FILE" };

    /// <summary>Adds the option to a command.</summary>
    public void AddTo(Command command) => command.Options.Add(option);

    /// <summary>The source, recorded where that was asked for.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="sources">The sources as named.</param>
    /// <param name="source">The source; disposed when it cannot be recorded.</param>
    /// <param name="console">The console.</param>
    /// <exception cref="UsageException">The file is there already.</exception>
    /// <exception cref="IOException">It cannot be written.</exception>
    public IFrameSource Wrap(ParseResult parsed, SourceOptions sources, IFrameSource source, ProgramConsole console)
    {
        if (parsed.GetValue(option) is not { } path)
        {
            return source;
        }

        try
        {
            var options = new RecordingOptions(path) { Clock = source.Clock };
            RecordingSettings.Refuse(options, sources.Names(parsed), []);
            var recorder = new Recorder(options, null, console.Disk, console.Time);
            recorder.Start();
            return new RecordedSource(source, recorder);
        }
        catch
        {
            source.Dispose();
            throw;
        }
    }

    /// <summary>Completes the recording and says what became of it.</summary>
    /// <param name="source">What <see cref="Wrap"/> gave.</param>
    /// <param name="console">The console.</param>
    /// <param name="status">The status of the command.</param>
    /// <returns>That status, or that of an output that could not be written.</returns>
    public static int Close(IFrameSource source, ProgramConsole console, int status)
    {
        if (source is not RecordedSource recorded)
        {
            return status;
        }

        var recording = recorded.Complete();
        console.Output.Flush();
        console.Say(CleanText.Clean(recording.Failure is { } failure ? $"busscope: {failure}" : RecordingWords.Of(recording)));
        return recording.Failure is null ? status : ExitStatus.SourceFailed;
    }
}
