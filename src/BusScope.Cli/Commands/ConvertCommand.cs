using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Reports.Layout;
using BusScope.Session;
using BusScope.Transport.Pcapng;

namespace BusScope.Cli.Commands;

/// <summary><c>convert</c>: any readable capture to pcapng.</summary>
internal static class ConvertCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("CAPTURE");
        var output = new Option<string>("--out") { Description = "The file to write, pcapng", HelpName = "FILE", Required = true };
        var definitions = new DefinitionOptions(isNeeded: false);
        var force = new Option<bool>("--force") { Description = "Overwrite the file if it is there" };
        var command = new Command("convert", "Writes any readable capture as pcapng, with nothing lost");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        definitions.AddTo(command);
        command.Options.Add(output);
        command.Options.Add(force);
        command.SetAction((parsed, cancellation) =>
        {
            var names = sources.Names(parsed);
            var loaded = definitions.Load(parsed, names, console);
            using var source = sources.Open(parsed, console, loaded.Set);
            var path = parsed.GetRequiredValue(output);
            OutputGuard.Refuse(path, names, loaded.Files, "conversion");
            if (File.Exists(path) && !parsed.GetValue(force))
            {
                throw new UsageException($"{path}: is there already; --force overwrites it");
            }

            using var writer = PcapngWriter.Create(path);
            string? failure;
            using (var progress = new ProgressLine(console, "converting"))
            {
                failure = Copy(source, writer, progress, cancellation);
            }

            if (cancellation.IsCancellationRequested)
            {
                return Task.FromResult(ExitStatus.Interrupted);
            }

            writer.AddBuses(source.Buses);
            for (var i = 0; i < source.Buses.Count; i++)
            {
                writer.ReportLost(i, source.StatusOf(i)?.LostFrames ?? 0);
            }

            // Comments on the recording as a whole are met while it is read, when the head of the file has been written.
            foreach (var comment in source.Comments)
            {
                _ = writer.Remark(comment);
            }

            writer.Complete();
            console.Output.WriteLine($"{path}: {Figures.Of(writer.Frames, "frame")} on {Figures.Of(source.Buses.Count, "bus", "buses")}");
            SourceNotes.Tell(source, console);
            return failure is null ? Task.FromResult(ExitStatus.Fine) : throw new SourceException(failure);
        });
        return command;
    }

    // What was readable before a source failed is kept, and the failure is told after it.
    private static string? Copy(RatedSource source, PcapngWriter writer, ProgressLine progress, CancellationToken cancellation)
    {
        var batch = new FrameBatch();
        try
        {
            while (!cancellation.IsCancellationRequested && source.Read(batch, cancellation) != SourceState.Ended)
            {
                writer.Write(batch, source.Buses);
                if (source.Progress is { } done)
                {
                    progress.Report(done);
                }
            }

            return null;
        }
        catch (SourceException e)
        {
            return e.Message;
        }
    }
}
