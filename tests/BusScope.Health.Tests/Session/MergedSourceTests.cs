using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.TestKit;
using BusScope.Transport;
using BusScope.Transport.Audit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class MergedSourceTests
{
    [Fact]
    public void Frames_of_all_sources_come_in_order_of_time_whatever_their_batches()
    {
        // The model: all frames together, sorted by time; those of equal time by the order of the sources.
        Gen.Int[0, 50].Array[0, 700].List[1, 4].Sample(
            gaps =>
            {
                var sources = gaps.Select((all, bus) => Times(all, bus)).ToList();
                var expected = sources.SelectMany((times, bus) => times.Select(time => (time, bus))).OrderBy(frame => frame.time).Select(frame => ((double)frame.time, frame.bus));

                var merged = new MergedSource([.. sources.Select((times, bus) => new ListSource([new Bus($"bus{bus}")], [.. times.Select(time => Some.Frame(1, milliseconds: time))], 1 + (bus * 85)))]);

                Assert.Equal(expected, ReadAll(merged).Select(frame => (frame.Milliseconds, frame.Bus)));
            },
            iter: 50);

        static int[] Times(int[] gaps, int bus)
        {
            var at = bus;
            return [.. gaps.Select(gap => at += gap)];
        }
    }

    [Fact]
    public void A_merged_source_that_begins_at_a_place_goes_on_as_the_one_that_stood_there() => Gen.Select(Gen.Int[0, 50].Array[0, 700].List[1, 4], Gen.Int[0, 12]).Sample(
        (gaps, batches) =>
        {
            MergedSource Open() => new([.. gaps.Select((all, bus) => new NamedSource(Part(all, bus), $"bus{bus % 2}"))]);
            var first = Open();
            var batch = new FrameBatch();
            for (var i = 0; i < batches; i++)
            {
                _ = first.Read(batch, CancellationToken.None);
            }

            var second = Open();
            second.BeginAt(first.Place()!);

            Assert.Equal(first.Buses, second.Buses);
            Assert.Equal(ReadAll(first), ReadAll(second));
            Assert.Equal(first.Buses, second.Buses);
        },
        iter: 50);

    private static ListSource Part(int[] gaps, int bus)
    {
        var at = bus;
        return new ListSource([new Bus($"bus{bus}")], [.. gaps.Select(gap => Some.Frame(1, milliseconds: at += gap))], 1 + (bus * 85), saysPlaces: true);
    }

    [Fact]
    public void Buses_of_one_name_are_told_apart()
    {
        var merged = new MergedSource([new ListSource([new Bus("can0")], []), new ListSource([new Bus("can0")], []), new NamedSource(new ListSource([new Bus("can0")], []), "cabin")]);

        Assert.Equal(["can0", "can0-2", "cabin"], merged.Buses.Select(bus => bus.Name));
    }

    [Fact]
    public void A_named_source_of_several_buses_keeps_their_names_behind_its_own()
    {
        var named = new NamedSource(new ListSource([new Bus("a"), new Bus("b")], []), "car");

        Assert.Equal(["car", "car.b"], named.Buses.Select(bus => bus.Name));
    }

    [Fact]
    public void A_source_that_fails_ends_alone_and_is_told_at_the_end()
    {
        var good = new ListSource([new Bus("good")], [Some.Frame(1, milliseconds: 1), Some.Frame(1, milliseconds: 2)], largestBatch: 1);
        var merged = new MergedSource([new FailingSource("the adapter is gone"), good]);
        var batch = new FrameBatch();

        Assert.Equal(SourceState.Frames, merged.Read(batch, TestContext.Current.CancellationToken));
        Assert.Equal(SourceState.Frames, merged.Read(batch, TestContext.Current.CancellationToken));
        var failure = Assert.Throws<SourceException>(() => merged.Read(batch, TestContext.Current.CancellationToken));

        Assert.Equal("the adapter is gone", failure.Message);
        var problem = Assert.Single(merged.Problems.All);
        Assert.Equal(MergedSource.SourceFailed, problem.Kind);
        Assert.Equal("the adapter is gone", problem.Detail);
    }

    [Fact]
    public void A_live_source_whose_link_broke_inside_a_record_tells_of_its_bus_until_then()
    {
        ListSource Live(string bus) => new([new Bus(bus)], [Some.Frame(1, milliseconds: 1), Some.Frame(1, milliseconds: 2)]) { Clock = SourceClock.Theirs };
        var broken = Live("broken");
        broken.Problems.Add(CaptureProblems.CutShort, default);
        var merged = new MergedSource([broken, Live("over")]);

        _ = ReadAll(merged);

        Assert.Equal([Some.Frame(1, milliseconds: 2).Time, null], merged.Buses.Select(bus => bus.RecordedUntil));
    }

    [Fact]
    public void A_source_with_nothing_to_say_holds_no_other_back()
    {
        var merged = new MergedSource([new SilentSource(), new ListSource([new Bus("a")], [Some.Frame(1)])]);
        var batch = new FrameBatch();

        Assert.Equal(SourceState.Frames, merged.Read(batch, TestContext.Current.CancellationToken));
        Assert.Equal(SourceState.Idle, merged.Read(batch, TestContext.Current.CancellationToken));
        Assert.Null(merged.Progress);
    }

    [Fact]
    public void Progress_is_the_mean_of_all()
    {
        var merged = new MergedSource([new ListSource([new Bus("a")], [Some.Frame(1)]), new ListSource([new Bus("b")], [Some.Frame(1), Some.Frame(1)], largestBatch: 1)]);

        merged.Read(new FrameBatch(), TestContext.Current.CancellationToken);

        Assert.Equal((1 + 0.5) / 2, merged.Progress);
    }

    private static List<(double Milliseconds, int Bus)> ReadAll(MergedSource source)
    {
        var batch = new FrameBatch();
        var all = new List<(double, int)>();
        while (source.Read(batch, CancellationToken.None) != SourceState.Ended)
        {
            all.AddRange(batch.Frames.ToArray().Select(frame => (frame.Time.Nanoseconds / 1e6, (int)frame.Bus)));
        }

        return all;
    }

    private sealed class FailingSource(string why) : IFrameSource
    {
        public string Name => "failing";

        public IReadOnlyList<Bus> Buses { get; } = [new("bad")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => 0;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation) => throw new SourceException(why);

        public void Dispose()
        {
        }
    }

    [Fact]
    public void What_is_live_in_it_and_what_its_adapters_say_is_passed_on()
    {
        var recording = new ListSource([new Bus("chassis")], []);
        using var merged = new MergedSource([recording, new NamedSource(new AuditedSource(new SilentSource()), "cabin")]);

        Assert.Equal(SourceClock.Ours, merged.Clock);
        Assert.Null(merged.StatusOf(0));
        Assert.Equal(ControllerState.ErrorPassive, merged.StatusOf(1)?.State);
        Assert.Equal(SourceClock.Recorded, new MergedSource([recording]).Clock);
    }

    [Fact]
    public void A_quiet_live_source_is_waited_for_only_when_no_other_has_anything()
    {
        var quiet = new SilentSource();
        using var merged = new MergedSource([new ListSource([new Bus("busy")], [.. Enumerable.Range(0, 5_000).Select(i => Some.Frame(1, milliseconds: i))]), quiet]);

        var (batch, frames) = (new FrameBatch(), 0);

        while (merged.Read(batch, TestContext.Current.CancellationToken) == SourceState.Frames)
        {
            frames += batch.Count;
            Assert.Equal(0, quiet.Waits);
        }

        Assert.Equal(5_000, frames);
        Assert.InRange(quiet.Waits, 0, 1);
    }

    [Fact]
    public void The_state_of_a_bus_is_asked_of_its_source_without_all_that_the_status_costs()
    {
        var silent = new SilentSource();
        using var merged = new MergedSource([new ListSource([new Bus("recorded")], []), silent]);

        Assert.Null(merged.StateOf(0));
        Assert.Equal(ControllerState.BusOff, merged.StateOf(1));
        Assert.Null(merged.StateOf(2));
        Assert.False(silent.IsAskedForStatus);
    }

    private sealed class SilentSource : IFrameSource
    {
        public int Waits { get; private set; }

        public string Name => "silent";

        public IReadOnlyList<Bus> Buses { get; } = [new("quiet")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => SourceClock.Ours;

        public bool IsAskedForStatus { get; private set; }

        public ControllerStatus? StatusOf(int bus)
        {
            IsAskedForStatus = true;
            return new ControllerStatus(ControllerState.ErrorPassive);
        }

        public ControllerState? StateOf(int bus) => ControllerState.BusOff;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            Waits += cancellation.IsCancellationRequested ? 0 : 1;
            return SourceState.Idle;
        }

        public void Dispose()
        {
        }
    }
}
