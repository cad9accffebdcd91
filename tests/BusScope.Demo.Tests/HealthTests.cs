using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Plans;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class HealthTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData("healthy")]
    [InlineData("good-start")]
    [InlineData("launch")]
    public void A_sound_story_is_a_go_for_every_module(string story)
    {
        var report = Check(DemoSource.Open(story));

        Assert.DoesNotContain(report.Modules, m => m.Verdict != Verdict.Go);
        Assert.DoesNotContain(report.Findings, f => f.Severity != FindingSeverity.Note);
        Assert.Equal(Verdict.Go, report.Verdict);
    }

    [Fact]
    public void The_swapped_drive_is_a_no_go_for_the_modules_that_live_on_the_eight_faulty_messages_and_for_no_other()
    {
        var report = Check(DemoSource.Open("swapped"));

        Assert.Equal(
            ["body", "brake-control", "climate", "cluster", "steering", "transmission"],
            report.Modules.Where(m => m.Verdict == Verdict.NoGo).Select(m => m.Definition.Name).Order());
        Assert.DoesNotContain(report.Modules, m => m.Verdict == Verdict.Inconclusive);
        Assert.Equal(
            ["EngineCooling", "EngineDisplay", "EngineIdentity", "EngineTemperatures", "EngineTorque", "PedalPosition", "StarterStatus", "VehicleSpeed"],
            report.Findings.Where(f => f.Severity == FindingSeverity.Fault && f.Message is not null).Select(f => f.Message).Distinct().Order());
    }

    [Theory]
    [InlineData("healthy", Verdict.Go)]
    [InlineData("swapped", Verdict.NoGo)]
    [InlineData("no-start-request", Verdict.NoGo)]
    public void The_capture_of_a_story_gives_the_same_verdict_as_the_story(string story, Verdict verdict)
    {
        var report = Check(DemoCaptures.All.Single(c => c.Story == story).Open());

        Assert.Equal(verdict, report.Verdict);
    }

    private HealthReport Check(IFrameSource source)
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DemoDefinitions.Load().Definitions!), new MonitorOptions());
        var batch = new FrameBatch();
        while (source.Read(batch, CancellationToken.None) != SourceState.Ended)
            monitor.Accept(batch, source.Buses);
        var report = monitor.Report(isFinal: true);
        foreach (var module in report.Modules)
            output.WriteLine($"{module.Definition.Name} {module.Verdict}");
        foreach (var finding in report.Findings)
            output.WriteLine($"{finding.Severity} {finding.Code} {finding.Message}/{finding.Signal} x{finding.Count} at {(finding.At is { } at ? (at - DemoSource.Start).Seconds : 0):F3}: {finding.Text}");
        return report;
    }
}
