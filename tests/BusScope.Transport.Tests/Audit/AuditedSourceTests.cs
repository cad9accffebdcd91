using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.TestKit;
using BusScope.Transport.Audit;
using Xunit;

namespace BusScope.Transport.Tests.Audit;

public class AuditedSourceTests
{
    [Theory]
    [InlineData("frame-id-too-large", 0x800u, 0, FrameKinds.None)]
    [InlineData("frame-length-impossible", 1u, 9, FrameKinds.None)]
    [InlineData("frame-length-impossible", 1u, 13, FrameKinds.FlexibleDataRate)]
    [InlineData("frame-length-impossible", 1u, 63, FrameKinds.FlexibleDataRate)]
    [InlineData("frame-flags-impossible", 1u, 8, FrameKinds.FlexibleDataRate | FrameKinds.Remote)]
    [InlineData("frame-flags-impossible", 1u, 8, FrameKinds.BitRateSwitch)]
    [InlineData("frame-flags-impossible", 1u, 8, FrameKinds.ErrorStateIndicator)]
    public void What_no_frame_can_be_is_counted_with_its_place_and_delivered(string code, uint id, int length, FrameKinds kinds)
    {
        var odd = Some.Frame(id, new string('A', 2 * length), 1, kinds: kinds);

        var (frames, problems) = Audit([Some.Frame(1), odd, odd]);

        Assert.Equal(3, frames.Count);
        Assert.Equal((odd.Id, odd.Kinds, odd.Length), (frames[1].Id, frames[1].Kinds, frames[1].Length));
        var problem = Assert.Single(problems);
        Assert.Equal((code, 2L, new ProblemPlace(2, Bus: "a")), (problem.Kind.Code, problem.Count, problem.First));
    }

    [Fact]
    public void All_that_a_frame_can_be_is_clean()
    {
        Frame[] frames =
        [
            Some.Frame(0x7FF, "0011223344556677"), Some.Frame(0x800, extended: true), Some.Frame(1, "00", kinds: FrameKinds.Remote),
            .. Enumerable.Range(0, 65).Where(n => n is <= 8 or 12 or 16 or 20 or 24 or 32 or 48 or 64).Select(n => Some.Frame(1, new string('0', 2 * n), kinds: FrameKinds.FlexibleDataRate | FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator)),
            Some.Frame(0x1000, "0000000000000000", kinds: FrameKinds.ErrorReport),
        ];

        Assert.Empty(Audit(frames).Problems);
    }

    [Fact]
    public void What_the_source_counts_itself_is_not_counted_again()
    {
        var source = new AuditedSource(new ListSource([new Bus("a")], [Some.Frame(1, "000000000000000000")]), areFramesChecked: true);

        _ = source.Read(new FrameBatch(), TestContext.Current.CancellationToken);

        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void Steps_back_on_a_bus_are_counted_with_the_largest()
    {
        var problem = Assert.Single(Audit(Times(0, 10, 8, 20, 5, 30)).Problems);

        Assert.Equal(("time-steps-back", 2L, 3L), (problem.Kind.Code, problem.Count, problem.First.FrameNumber!.Value));
        Assert.Equal("the largest step is 15 ms", problem.Detail);
    }

    [Fact]
    public void Buses_each_in_order_but_not_with_each_other_are_interleaved()
    {
        var problem = Assert.Single(Audit([Some.Frame(1, "", 10), Some.Frame(1, "", 5_000, bus: 1), Some.Frame(1, "", 20), Some.Frame(1, "", 6_000, bus: 1), Some.Frame(1, "", 6_500)]).Problems);

        Assert.Equal(("buses-interleaved", 1L, 3L), (problem.Kind.Code, problem.Count, problem.First.FrameNumber!.Value));
    }

    [Fact]
    public void A_clock_that_falls_back_on_every_bus_restarts_once()
    {
        Frame[] frames = [.. Enumerable.Range(0, 20_000).Select(i => Some.Frame(1, "", i % 10_000, bus: (ushort)(i % 2)))];

        var problem = Assert.Single(Audit(frames).Problems);

        Assert.Equal(("clock-restarts", 1L, 10_001L), (problem.Kind.Code, problem.Count, problem.First.FrameNumber!.Value));
    }

    [Fact]
    public void Few_frames_that_are_later_than_all_that_follow_are_stale()
    {
        var problem = Assert.Single(Audit(Times(22_210, 22_300, 22_360, 0, 10, 20, 30)).Problems);

        Assert.Equal(("stale-frames", 3L), (problem.Kind.Code, problem.Count));
        Assert.Contains("22.210000000 s to 22.360000000 s", problem.Detail, StringComparison.Ordinal);
        Assert.Equal("clock-restarts", Assert.Single(Audit(Times(22_210, 22_300, 22_360, 0, 10)).Problems).Kind.Code);
    }

    [Fact]
    public void A_clock_that_falls_back_by_a_minute_again_and_again_wraps()
    {
        var minutes = Enumerable.Range(0, 2_000).Select(i => (double)(i * 100 % 60_000)).ToArray();

        var problem = Assert.Single(Audit(Times(minutes)).Problems);

        Assert.Equal(("clock-wraps-each-minute", 3L, 601L), (problem.Kind.Code, problem.Count, problem.First.FrameNumber!.Value));
        Assert.Equal("clock-restarts", Assert.Single(Audit(Times(minutes[..700])).Problems).Kind.Code);
    }

    [Fact]
    public void Times_below_zero_are_counted()
    {
        var problem = Assert.Single(Audit(Times(-364, -100, 0, 10)).Problems);

        Assert.Equal(("time-below-zero", 2L, "-0.364000000 s"), (problem.Kind.Code, problem.Count, problem.Detail));
    }

    [Fact]
    public void The_farthest_times_do_not_overflow() =>
        Assert.Contains(Audit([At(long.MaxValue), At(long.MinValue + 1), At(long.MaxValue)]).Problems, p => p.Kind == AuditProblems.StaleFrames);

    // captures/SOURCES.md.
    [Theory]
    [InlineData("vehicle-two-buses-off-on-ready-off", "time-unit-inferred:1 buses-interleaved:1845")]
    [InlineData("small-bus-stale-rows-negative-times", "time-unit-inferred:1 stale-frames:88")]
    public void Real_captures_have_the_stated_problems(string file, string expected)
    {
        using var source = CaptureFile.Open(RepoFiles.Shared("captures", file + ".csv"));

        _ = Tables.TextTableTests.Drain(source);

        var found = source.Problems.All.Where(p => p.Kind != AuditProblems.TimeBelowZero).Select(p => $"{p.Kind.Code}:{p.Count}");
        Assert.Equal(expected, string.Join(' ', found));
        Assert.Equal(file.StartsWith("small", StringComparison.Ordinal), !source.Problems.IsNew(AuditProblems.TimeBelowZero));
    }

    [Fact]
    public void Clean_frames_cost_no_allocation()
    {
        var frames = Times([.. Enumerable.Range(0, 100_000).Select(i => (double)i)]);
        var source = new AuditedSource(new ListSource([new Bus("a")], frames));
        var batch = new FrameBatch();

        // Eleven thousand frames a run, the first of which are looked at for what was left over.
        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 43; i++)
            {
                _ = source.Read(batch, CancellationToken.None);
            }
        }));
        Assert.Equal(SourceState.Frames, source.Read(batch, CancellationToken.None));
    }

    private static Frame[] Times(params double[] milliseconds) => [.. milliseconds.Select(m => Some.Frame(1, "", m))];

    private static Frame At(long nanoseconds)
    {
        var frame = default(Frame);
        frame.Set(new FrameTime(nanoseconds), 0, new CanId(1, false), FrameKinds.None, []);
        return frame;
    }

    private static (List<Frame> Frames, IReadOnlyList<Problem> Problems) Audit(Frame[] frames)
    {
        var (read, source) = Tables.TextTableTests.Drain(new AuditedSource(new ListSource([new Bus("a"), new Bus("b")], frames)));
        return (read, source.Problems.All);
    }
}
