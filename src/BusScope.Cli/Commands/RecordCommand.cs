using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.Session.Recording;
using BusScope.Signals.Expressions;
using BusScope.Signals.Plans;
using BusScope.Transport.Recording;

namespace BusScope.Cli.Commands;

/// <summary><c>record</c>: what comes from the sources, into a file that can be read at every moment.</summary>
internal static class RecordCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("SOURCE", isLive: true);
        var definitions = new DefinitionOptions(isNeeded: false);
        var settings = new RecordingSettings();
        var command = new Command("record", "Records into a pcapng file that is whole at every moment, until Ctrl-C");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        sources.AddSetUpTo(command);
        definitions.AddTo(command);
        settings.AddTo(command);
        command.SetAction((parsed, cancellation) =>
        {
            using var stop = new StopSignals(cancellation);
            var names = sources.Names(parsed);
            var loaded = definitions.Load(parsed, names, console);
            var options = settings.Read(parsed, names, loaded.Files, console);
            var trigger = settings.Condition(parsed) is { } text ? Trigger(text, loaded) : null;
            var source = sources.Open(parsed, console, loaded.Set);
            using var recording = Begin(source, options, trigger, console, out var recorder);
            return Task.FromResult(Run(recording, recorder, settings.Length(parsed), console, stop.Token));
        });
        return command;
    }

    private static RecordedSource Begin(RatedSource source, RecordingOptions options, ConditionTrigger? trigger, ProgramConsole console, out Recorder recorder)
    {
        try
        {
            recorder = new Recorder(options with { Clock = source.Clock }, trigger, console.Disk, console.Time);
        }
        catch
        {
            source.Dispose();
            throw;
        }

        recorder.Start();
        return new RecordedSource(source, recorder);
    }

    private static ConditionTrigger Trigger(string text, LoadedDefinitions definitions)
    {
        if (Expression.Parse(text, out var fault) is not { } expression)
        {
            throw new UsageException($"--when '{text}', character {fault!.Position + 1}: {fault.Message}");
        }

        var plan = new DefinitionPlan(definitions.Set);
        return ConditionTrigger.UnknownNames(plan, expression) is [var unknown, ..]
            ? throw new UsageException($"--when '{text}': no definition has a signal '{unknown}'{(definitions.Name is null ? "; name the definitions with --defs" : "")}")
            : new ConditionTrigger(plan, expression);
    }

    private static int Run(RecordedSource source, Recorder recorder, FrameSpan? length, ProgramConsole console, CancellationToken cancellation)
    {
        using var marks = new MarkReader(console, recorder);
        var start = console.Time.GetTimestamp();
        RecordingResult result;
        using (var line = new ProgressLine(console, ""))
        {
            Func<string> words = () => RecordingWords.While(recorder.Status, console.Time.GetElapsedTime(start));
            result = RecordingRun.ToEnd(source, recorder, length, console.Time, () => line.Show(words), cancellation);
        }

        var recording = result.Recording;
        console.Output.WriteLine(CleanText.Clean(RecordingWords.Of(recording)));
        console.Output.Flush();
        SourceNotes.Tell(source.Recorded, console);
        if (recording.IsWaiting)
        {
            console.Say("The trigger never came: no frame was recorded.");
        }

        foreach (var failure in new[] { recording.Failure, result.SourceFailure }.OfType<string>())
        {
            console.Say($"busscope: {CleanText.Clean(failure)}");
        }

        return recording.Failure is not null || result.SourceFailure is not null ? ExitStatus.SourceFailed
            : result.End == RunEnd.Cancelled && length is not null ? ExitStatus.Interrupted
            : ExitStatus.Fine;
    }
}
