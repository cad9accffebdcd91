using System.CommandLine;
using System.Globalization;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Against;
using BusScope.Reports.Checks;
using BusScope.Reports.Layout;
using BusScope.Session;
using BusScope.Session.Recording;
using BusScope.Signals.Plans;

namespace BusScope.Cli.Commands;

/// <summary><c>check</c>: GO or NO-GO, module by module.</summary>
internal static class CheckCommand
{
    // The ritual after every change: one minute.
    private static readonly FrameSpan LiveLength = FrameSpan.FromSeconds(60);

    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("SOURCE", isLive: true);
        var definitions = new DefinitionOptions(isNeeded: true);
        var record = new RecordOption();
        var format = FormatOption.Create("text", "json");
        var report = new ReportOption();
        var against = new AgainstOption();
        var length = new Option<string?>("--for")
        {
            Description = "Stop after this much time on the bus: 60s, 500ms, 2min; on an adapter 60s unless told otherwise",
            HelpName = "TIME",
        };
        var whole = new Option<bool>("--whole")
        {
            Description = "Take the whole time on an adapter, even when the answer is clear before",
        };
        length.Validators.Add(result =>
        {
            if (result.Tokens.Count == 1 && Quantity.Span(result.Tokens[0].Value) is null)
            {
                result.AddError($"'{result.Tokens[0].Value}' is no length of time: write 60s, 500ms or 2min");
            }
        });
        var command = new Command("check", "Says GO or NO-GO: whether every module gets the messages that it lives on");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        sources.AddSetUpTo(command);
        definitions.AddTo(command);
        command.Options.Add(length);
        command.Options.Add(whole);
        record.AddTo(command);
        command.Options.Add(format);
        report.AddTo(command);
        against.AddTo(command);
        command.SetAction((parsed, cancellation) =>
        {
            var earlier = against.Read(parsed);
            var loaded = definitions.Load(parsed, sources.Names(parsed), console);
            using var page = report.Reserve(parsed, sources.Names(parsed), [.. loaded.Files, .. against.Files(parsed)]);
            using var source = record.Wrap(parsed, sources, sources.Open(parsed, console, loaded.Set), console);
            var span = parsed.GetValue(length) is { } text ? Quantity.Span(text) : null;
            var options = new RunOptions { Time = console.Time, Length = span };
            if (sources.Names(parsed).Any(name => name.IsAdapter))
            {
                options = options with { Length = span ?? LiveLength, Clear = new ClearAnswer(loaded.Set) { EndsRun = !parsed.GetValue(whole) } };
            }

            var check = new CheckRun(console, loaded, options)
            {
                Against = earlier,
                Report = page is null ? null : new CheckReport(page, sources.Names(parsed), loaded),
            };
            var status = check.Run(source, parsed.GetValue(format) == "json", cancellation);
            return Task.FromResult(RecordOption.Close(source, console, status));
        });
        return command;
    }
}

/// <summary>One check from source to report: what <c>check</c> and <c>demo --plain</c> do.</summary>
internal sealed class CheckRun(ProgramConsole console, LoadedDefinitions definitions, RunOptions options)
{
    /// <summary>The page to be written beside the result, or null.</summary>
    public CheckReport? Report { get; init; }

    /// <summary>The earlier result to compare with, or null.</summary>
    public EarlierCheck? Against { get; init; }

    /// <summary>Checks the source and writes the result.</summary>
    /// <returns>The exit status.</returns>
    public int Run(IFrameSource source, bool asJson, CancellationToken cancellation)
    {
        // The verdict does not rest on bus load, and the exact length of every frame would be a quarter of the time: only a report
        // needs it, and what is drawn in it. The numbers of all frames at hand are a twentieth.
        var monitor = new HealthMonitor(new DefinitionPlan(definitions.Set), new MonitorOptions
        {
            MeasureLoad = Report is not null,
            KeepHistory = Report is not null,
            KeepNumbers = Report is not null,
        });
        RunResult result;
        using (var stop = new StopSignals(cancellation))
        using (var progress = new ProgressLine(console, "checking"))
        {
            var clear = options.Clear is null ? null : options.Clear with { Looked = (report, passed) => progress.Show(() => Words(report, passed)) };
            result = SessionRun.ToEnd(source, monitor, progress, stop.Token, options with { Clear = clear });
        }

        if (result.End == RunEnd.AnswerClear)
        {
            console.Say($"The answer was clear after {result.Health.Now - result.Health.First}; --whole takes the whole time.");
        }

        var subject = new RunSubject(source.Name)
        {
            Definitions = definitions.Name,
            Title = definitions.Set.Title,
            // How a recording beside it went is told by itself.
            Problems = (source as RecordedSource)?.Recorded.Problems.All ?? source.Problems.All,
            Failure = result.Failure,
            IsBrokenOff = result.End == RunEnd.Cancelled,
        };
        var change = Against is null ? null : CheckChange.Between(Against, result.Health);
        if (asJson)
        {
            CheckJson.Write(console.OutputBytes, subject, result.Health, change);
        }
        else
        {
            CheckText.Write(console.Output, subject, result.Health, console.Ink, change);
        }

        Report?.Write(console, subject, result.Health, change);
        return RunStatus.Of(result, console) ?? (result.Health.Verdict == Verdict.Go ? ExitStatus.Fine : ExitStatus.Found);
    }

    // What a person who waits wants to know: how long yet, and whether it looks well.
    private string Words(HealthReport report, FrameSpan passed)
    {
        var needed = report.Messages.Where(message => message.Definition is { NeededBy.Count: > 0 }).ToList();
        var there = needed.Count(message => message.State is MessageState.Fresh or MessageState.Late);
        var faults = report.Findings.Count(finding => finding.Severity == FindingSeverity.Fault);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"checking, {passed.Seconds:0} s of at most {options.Length?.Seconds:0} s: {there} of {needed.Count} needed messages are there, {Figures.Of(faults, "fault")}");
    }
}
