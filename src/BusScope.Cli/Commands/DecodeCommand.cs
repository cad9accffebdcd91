using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Reports.Samples;
using BusScope.Session;
using BusScope.Signals.Plans;

namespace BusScope.Cli.Commands;

/// <summary><c>decode</c>: every value of every frame.</summary>
internal static class DecodeCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("CAPTURE");
        var definitions = new DefinitionOptions(isNeeded: true);
        var format = FormatOption.Create("csv", "jsonl");
        var time = new Option<string>("--time")
        {
            Description = "Seconds since the Unix epoch, or since the first frame",
            HelpName = "epoch|relative",
            DefaultValueFactory = _ => "epoch",
        };
        var names = new Option<bool>("--names") { Description = "Write named values by name, not by number" };
        var command = new Command("decode", "Writes the value of every signal in every frame, as CSV or JSON lines");
        sources.AddTo(command);
        definitions.AddTo(command);
        command.Options.Add(format);
        command.Options.Add(time.AcceptOnlyFromAmong("epoch", "relative"));
        command.Options.Add(names);
        command.SetAction((parsed, cancellation) =>
        {
            var loaded = definitions.Load(parsed, sources.Names(parsed), console);
            using var source = sources.Open(parsed, console, loaded.Set);
            ISampleWriter writer = parsed.GetValue(format) == "jsonl"
                ? new JsonSamples(console.OutputBytes)
                : new CsvSamples(console.OutputBytes);
            var export = new SampleExport(new DefinitionPlan(loaded.Set), writer)
            {
                WithNames = parsed.GetValue(names),
                IsRelative = parsed.GetValue(time) == "relative",
            };
            using (var progress = new ProgressLine(console, "decoding"))
            {
                Copy(source, export, progress, cancellation);
            }

            writer.Flush();
            if (!export.HasMetMessage)
            {
                console.Say("No message of the definitions came: nothing was decoded. Do the identifiers and the names of the buses fit? busscope summary lists what is there.");
            }

            SourceNotes.Tell(source, console);
            return Task.FromResult(cancellation.IsCancellationRequested ? ExitStatus.Interrupted : ExitStatus.Fine);
        });
        return command;
    }

    private static void Copy(RatedSource source, SampleExport export, ProgressLine progress, CancellationToken cancellation)
    {
        var batch = new FrameBatch();
        try
        {
            while (!cancellation.IsCancellationRequested && source.Read(batch, cancellation) != SourceState.Ended)
            {
                export.Accept(batch, source.Buses);
                if (source.Progress is { } done)
                {
                    progress.Report(done);
                }
            }
        }
        catch (SourceException)
        {
            // What was readable has been decoded and must not be lost with the rest.
            export.Flush();
            throw;
        }
    }
}
