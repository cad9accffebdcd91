using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Summaries;
using BusScope.Session;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Cli.Commands;

/// <summary><c>summary</c>: what a capture holds.</summary>
internal static class SummaryCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("CAPTURE");
        var definitions = new DefinitionOptions(isNeeded: false);
        var format = FormatOption.Create("text", "json");
        var command = new Command("summary", "Lists buses, load, identifiers with their periods, and what is wrong with the file");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        definitions.AddTo(command);
        command.Options.Add(format);
        command.SetAction((parsed, cancellation) =>
        {
            using var source = sources.Open(parsed, console, definitions.Load(parsed, sources.Names(parsed), console).Set);

            // Definitions give bit rates only: a summary lists identifiers as they came, not the messages they make.
            var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
            RunResult result;
            using (var progress = new ProgressLine(console, "reading"))
            {
                result = SessionRun.ToEnd(source, monitor, progress, cancellation);
            }

            var subject = new RunSubject(source.Name)
            {
                Problems = source.Problems.All,
                Failure = result.Failure,
                IsBrokenOff = result.End == RunEnd.Cancelled,
            };
            if (parsed.GetValue(format) == "json")
            {
                SummaryJson.Write(console.OutputBytes, subject, result.Health);
            }
            else
            {
                SummaryText.Write(console.Output, subject, result.Health, console.Ink);
            }

            return Task.FromResult(RunStatus.Of(result, console) ?? ExitStatus.Fine);
        });
        return command;
    }
}
