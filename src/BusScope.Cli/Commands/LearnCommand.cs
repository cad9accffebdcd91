using System.CommandLine;
using BusScope.Analysis.Learning;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Reports;
using BusScope.Reports.Baselines;
using BusScope.Session;

namespace BusScope.Cli.Commands;

/// <summary><c>learn</c>: captures of a healthy car become a definition file that says what is expected of it.</summary>
internal static class LearnCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("CAPTURE", several: "of several, what holds in all is learned");
        var output = new Option<string>("--out")
        {
            Description = "The definition file to write; one that is there is kept and added to",
            HelpName = "FILE",
            Required = true,
        };
        var force = new Option<bool>("--force") { Description = "Write the file anew if it is there" };
        var format = FormatOption.Create("text", "json");
        var command = new Command("learn", "Writes down as definitions what a healthy car does: periods, counters, checksums, and when they hold");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        command.Options.Add(output);
        command.Options.Add(force);
        command.Options.Add(format);
        command.SetAction((parsed, cancellation) =>
        {
            var names = sources.Names(parsed);
            OutputGuard.Refuse(parsed.GetRequiredValue(output), names, [], "baseline");
            var target = new BaselineFile(parsed.GetRequiredValue(output), parsed.GetValue(force), console);
            var study = new CaptureStudy();
            var rates = new Dictionary<string, long>();
            var subjects = new List<RunSubject>();
            if (names.FirstOrDefault(name => name.IsInterface || name.Pcan is not null) is { Where: { } adapter })
            {
                throw new UsageException($"{adapter}: learn reads captures, which have an end: write one with 'busscope record' first");
            }

            foreach (var name in names)
            {
                using var source = sources.Open(parsed, name, console);
                subjects.Add(Read(source, study, rates, console, cancellation));
            }

            if (study.Frames == 0)
            {
                throw new SourceException($"{string.Join(", ", subjects.Select(subject => subject.Source))}: no data frame, so there is nothing to learn");
            }

            var baseline = Baseline.Learn(study, [.. subjects.Select(subject => subject.Source)], rates, cancellation);
            var merge = target.Write(baseline);
            if (parsed.GetValue(format) == "json")
            {
                LearnJson.Write(console.OutputBytes, target.Path, baseline, merge, subjects);
            }
            else
            {
                LearnText.Write(console.Output, target.Path, baseline, merge, subjects, console.Ink);
            }

            return Task.FromResult(subjects.Find(subject => subject.Failure is not null) is { } failed
                ? throw new SourceException(failed.Failure!)
                : ExitStatus.Fine);
        });
        return command;
    }

    // What was readable before a source failed is learned from, and the failure is told at the end.
    private static RunSubject Read(RatedSource source, CaptureStudy study, Dictionary<string, long> rates, ProgramConsole console, CancellationToken cancellation)
    {
        string? failure = null;
        using (var progress = new ProgressLine(console, "reading"))
        {
            try
            {
                study.Read(source, progress, cancellation);
            }
            catch (SourceException e)
            {
                failure = e.Message;
            }
        }

        foreach (var bus in source.Buses)
        {
            if (bus.BitRate is { } rate)
            {
                _ = rates.TryAdd(bus.Name, rate);
            }
        }

        return new RunSubject(source.Name) { Problems = source.Problems.All, Failure = failure };
    }
}
