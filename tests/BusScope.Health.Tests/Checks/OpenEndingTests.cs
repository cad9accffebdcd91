using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A slow message that is gone at the end for less than makes it stale: nobody can say that it did not stop.</summary>
public class OpenEndingTests
{
    private const uint Rare = 0x700;
    private const string Definitions = Car.Definitions + "\n  Rare: { id: 0x700, bus: chassis, every: 1 s, stale-after: 5 s, needed-by: [cluster] }";

    [Fact]
    public void It_is_not_judged_and_what_to_record_is_said()
    {
        var report = With(lastAt: 6).Check(Definitions);

        var note = Assert.Single(report.Findings, finding => finding.Message == "Rare");
        Assert.Equal(("not-judged", FindingSeverity.Note), (note.Code, note.Severity));
        Assert.Equal("Rare could not be judged: it was silent for 3.99 s at the end, more than twice as long as ever before. Whether it stopped shows after 5 s: record on for longer than that", note.Text);
        Assert.Equal((Verdict.Inconclusive, Verdict.Inconclusive), (report.Verdict, report.Modules.Single(module => module.Definition.Name == "cluster").Verdict));
        Assert.Equal(Verdict.Go, report.Modules.Single(module => module.Definition.Name == "transmission").Verdict);
    }

    [Fact]
    public void One_frame_that_was_lost_is_no_reason_for_doubt() =>
        Assert.Equal((Verdict.Go, "message-late"), VerdictAndCode(With(lastAt: 8)));

    [Fact]
    public void One_that_was_away_for_more_than_half_as_long_before_may_be_so_again() =>
        Assert.Equal((Verdict.Go, "message-late"), VerdictAndCode(With(lastAt: 6).Without(Rare, from: 1.5, until: 2.5)));

    [Fact]
    public void A_fast_message_that_is_late_at_the_end_is_no_reason_for_doubt() =>
        Assert.Equal(Verdict.Go, Car.Healthy().Without(0x1A0, from: 9.85).Check().Verdict);

    [Fact]
    public void Beyond_three_they_are_told_in_one_line()
    {
        var car = Car.Healthy();
        var definitions = Car.Definitions;
        for (var i = 0; i < 4; i++)
        {
            car.Every(1_000, Rare + (uint)i, 0, _ => "00", seconds: 7);
            definitions += $"\n  Rare{i}: {{ id: {Rare + i}, bus: chassis, every: 1 s, stale-after: 5 s, needed-by: [cluster] }}";
        }

        var note = Assert.Single(car.Check(definitions).Findings, finding => finding.Code == "not-judged");
        Assert.StartsWith("4 messages could not be judged: they were silent for up to 3.99 s at the end, more than twice as long as ever before. Whether they stopped shows after 5 s: ", note.Text, StringComparison.Ordinal);
    }

    private static (Verdict Verdict, string Code) VerdictAndCode(Car car)
    {
        var report = car.Check(Definitions);
        return (report.Verdict, Assert.Single(report.Findings, finding => finding.Message == "Rare").Code);
    }

    private static Car With(int lastAt) => Car.Healthy().Every(1_000, Rare, 0, _ => "00", seconds: lastAt + 0.5);
}
