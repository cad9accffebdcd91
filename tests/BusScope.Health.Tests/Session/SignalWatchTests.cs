using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class SignalWatchTests
{
    private static readonly Bus[] Buses = [new("chassis")];
    private static readonly FrameSpan Second = FrameSpan.FromSeconds(1);

    private static readonly DefinitionPlan plan = new(DefinitionLoader.LoadTexts(
    [
        new SourceText("test.yaml", """
            busscope: 1
            buses:
              chassis: { bitrate: 500 kbit/s }
            messages:
              Engine:
                id: 0x0C8
                bus: chassis
                length: 4
                signals:
                  Speed: { bytes: 0..1, order: big, scale: 0.25, unit: rpm }
                  Temp: { byte: 2, offset: -40, unit: degC, not-available: 0xFF }
            computed:
              Doubled: { expression: Speed * 2, unit: rpm }
            """),
    ]).Definitions!);

    private static readonly SignalKey Speed = new(0, 0), Temp = new(0, 1), Doubled = new(-1, 0);

    [Fact]
    public void A_wider_plan_reads_what_it_adds_and_forgets_nothing()
    {
        var watch = new SignalWatch(plan);
        watch.Accept(Some.Batches([Some.Frame(0x0C8, "00281005"), Some.Frame(0x0C9, "07")]).First(), Buses);
        var wide = new NewSignal("file", "Engine", new SignalDefinition { Name = "Added", Field = new BitField(new BitPosition(3, 7), 8, ByteOrder.Big) }) { Id = new CanId(0x0C8, false), Bus = "chassis" };
        var wider = wide.Into(plan.Definitions, 0);
        wider = (wide with { Message = "Other", Id = new CanId(0x0C9, false), Signal = wide.Signal with { Field = new BitField(new BitPosition(0, 7), 8, ByteOrder.Big) } }).Into(wider, -1);

        watch.Widen(new DefinitionPlan(wider));
        watch.Accept(Some.Batches([Some.Frame(0x0C8, "00141006", 1), Some.Frame(0x0C9, "08", 1)]).First(), Buses);

        var readings = watch.Readings([.. new[] { Speed, Doubled, new SignalKey(0, 2), new SignalKey(1, 0) }.Select(key => new ReadingRequest(key, Second, 0))], null);
        Assert.Equal([(5, 5, 10), (10, 10, 20), (6, 6, 6), (8, 8, 8)], readings.Select(each => (each.Latest.Value, each.Smallest, each.Largest)));
    }

    [Fact]
    public void Every_signal_has_the_latest_the_smallest_and_the_largest_value_of_all_its_frames()
    {
        // Independent model: the two bytes are the speed in quarters, the third the temperature less 40, 255 no value.
        Gen.Select(Gen.Byte, Gen.Byte, Gen.Byte).List[1, 300].Sample(payloads =>
        {
            var watch = new SignalWatch(plan);
            var time = 0;
            foreach (var batch in Some.Batches(payloads.Select(each => Some.Frame(0x0C8, $"{each.Item1:X2}{each.Item2:X2}{each.Item3:X2}00", time++))))
            {
                watch.Accept(batch, Buses);
            }

            var readings = watch.Readings([.. new[] { Speed, Temp, Doubled }.Select(key => new ReadingRequest(key, Second, 0))], null);
            var speeds = payloads.Select(each => ((each.Item1 * 256) + each.Item2) * 0.25).ToList();
            Assert.Equal((speeds[^1], speeds.Min(), speeds.Max()), (readings[0].Latest.Value, readings[0].Smallest, readings[0].Largest));
            var temps = payloads.Where(each => each.Item3 != 255).Select(each => each.Item3 - 40.0).DefaultIfEmpty(double.NaN).ToList();
            Assert.Equal((temps.Min(), temps.Max()), (readings[1].Smallest, readings[1].Largest));
            Assert.Equal(payloads[^1].Item3 == 255 ? SampleQuality.NotAvailable : SampleQuality.Ok, readings[1].Latest.Quality);
            Assert.Equal((speeds[^1] * 2, speeds.Min() * 2, speeds.Max() * 2), (readings[2].Latest.Value, readings[2].Smallest, readings[2].Largest));
        });
    }

    [Fact]
    public void Whoever_looks_at_what_sees_what_frame_by_frame_was_said() => anyTraffic.Sample(
        traffic =>
        {
            // Independent model: each frame is read by itself, and each column looks through all of them.
            var (frames, looks) = traffic;
            var (watch, time) = (new SignalWatch(oddPlan), FrameTime.Never);
            for (var from = 0; from < frames.Length; from += 100)
            {
                var batch = Some.Batches(frames[from..Math.Min(frames.Length, from + 100)]).First();
                watch.Accept(batch, Buses);
                time = batch.Frames[^1].Time;
                if (looks[from / 100 % looks.Length] is var look and >= 0)
                {
                    Compare(watch, frames[..(from + batch.Count)], look, FrameSpan.FromSeconds(from % 3 == 0 ? 30 : 5), time);
                }
            }

            for (var signal = 0; signal < oddPlan.Messages[0].Signals.Count; signal++)
            {
                Compare(watch, frames, signal, FrameSpan.FromSeconds(5), time);
                Compare(watch, frames, signal, FrameSpan.FromSeconds(30), time);
            }
        },
        iter: 40);

    private static readonly DefinitionPlan oddPlan = new(DefinitionLoader.LoadTexts(
    [
        new SourceText("odd.yaml", """
            busscope: 1
            messages:
              Odd:
                id: 0x0C8
                signals:
                  Plain: { byte: 0 }
                  Signed: { bytes: 0..1, order: big, signed: true, scale: -0.5, not-available: 0x7FFF }
                  Bounded: { byte: 1, range: 20..200 }
                  Page: { byte: 2, bits: 0..1 }
                  First: { byte: 3, when: { Page: 1 } }
                  Second: { byte: 3, when: { Page: [0, 2] } }
                  Quick: { byte: 4, max-rate: 2000 }
                  Far: { byte: 12 }
                  Name: { bytes: 5..7, type: text }
            """),
    ]).Definitions!);

    private static readonly Gen<(Frame[] Frames, int[] Looks)> anyTraffic =
        from gaps in Gen.Frequency((20, Gen.Int[1, 9]), (1, Gen.Int[50, 4_000]), (1, Gen.Int[-30, 0])).Array[1, 2_500]
        from seed in Gen.Int
        from looks in Gen.Int[-3, 8].Array[1, 12]
        select (Frames(gaps, new Random(seed)), looks);

    // Mostly short frames, of which one now and then is cut, and long ones behind.
    private static Frame[] Frames(int[] gaps, Random dice)
    {
        var (frames, time, longFrom) = (new Frame[gaps.Length], 1_000_000, dice.Next(gaps.Length * 2));
        for (var i = 0; i < gaps.Length; i++)
        {
            time += gaps[i];
            var length = dice.Next(40) == 0 ? dice.Next(8) : i > longFrom && dice.Next(2) == 0 ? 16 : 8;
            var payload = new byte[length];
            dice.NextBytes(payload);
            frames[i] = Some.Frame(0x0C8, Convert.ToHexString(payload), time, kinds: length > 8 ? FrameKinds.FlexibleDataRate : FrameKinds.None);
        }

        return frames;
    }

    private static void Compare(SignalWatch watch, Frame[] frames, int signal, FrameSpan window, FrameTime now)
    {
        const int Columns = 25;
        var definition = oddPlan.Messages[0].Definition.Signals[signal];
        var readings = new List<(FrameTime At, Sample Sample)>();
        var rate = default(RateWatch);
        foreach (var frame in frames)
        {
            if (definition.Encoding != SignalEncoding.Text && oddPlan.Messages[0].Read(signal, frame.Data) is { Quality: not SampleQuality.Absent } sample)
            {
                readings.Add((frame.Time, rate.Judge(sample, frame.Time, definition.LargestRate)));
            }
        }

        var said = readings.Where(each => each.Sample.Quality is SampleQuality.Ok or SampleQuality.OutOfRange).ToList();
        var reading = watch.Readings([new ReadingRequest(new SignalKey(0, signal), window, Columns)], now).SingleOrDefault();
        if (readings.Count == 0)
        {
            Assert.Null(reading);
            return;
        }

        Assert.Equal(readings[^1], (reading!.At, reading.Latest));
        Assert.Equal(said.Select(each => each.Sample.Value).DefaultIfEmpty(double.NaN).Min(), reading.Smallest);
        Assert.Equal(said.Select(each => each.Sample.Value).DefaultIfEmpty(double.NaN).Max(), reading.Largest);
        var column = window.Nanoseconds / Columns;
        var bin = column < FrameSpan.NanosecondsPerSecond ? 20 * FrameSpan.NanosecondsPerMillisecond : FrameSpan.NanosecondsPerSecond;
        for (var i = 0; i < Columns; i++)
        {
            var from = ((now.Nanoseconds / column) - Columns + 1 + i) * column;
            var meant = said.Where(each => each.At.Nanoseconds / bin * bin is var start && start >= from && start < from + column).Select(each => (float)each.Sample.Value).ToList();
            Assert.Equal(meant.Count == 0 ? TraceBin.None : new TraceBin(meant.Min(), meant.Max()), reading.Trace.Span[i]);
        }
    }

    [Fact]
    public void A_trace_is_cut_as_it_was_asked_for()
    {
        var watch = new SignalWatch(plan);
        foreach (var batch in Some.Batches(Enumerable.Range(0, 100).Select(i => Some.Frame(0x0C8, $"{i * 4:X4}0000", milliseconds: i * 100))))
        {
            watch.Accept(batch, Buses);
        }

        var reading = Assert.Single(watch.Readings([new ReadingRequest(Speed, FrameSpan.FromSeconds(5), 5)], null));

        Assert.Equal([50f, 60f, 70f, 80f, 90f], reading.Trace.ToArray().Select(column => column.Smallest));
        Assert.Equal([59f, 69f, 79f, 89f, 99f], reading.Trace.ToArray().Select(column => column.Largest));
        Assert.True(reading.Before.HasValue);
    }

    [Fact]
    public void What_was_never_met_has_no_reading()
    {
        var watch = new SignalWatch(plan);
        ReadingRequest[] requests = [new(Speed, Second, 10), new(Doubled, Second, 10), new(new SignalKey(9, 9), Second, 10)];
        Assert.Empty(watch.Readings(requests, null));

        watch.Accept(Some.Batches([Some.Frame(0x0C8, "00 04 00 00")]).First(), Buses);
        Assert.Equal(2, watch.Readings(requests, null).Count);
    }

    [Fact]
    public void Frames_of_another_bus_are_not_meant_where_there_are_two()
    {
        var watch = new SignalWatch(plan);

        watch.Accept(Some.Batches([Some.Frame(0x0C8, "00 04 00 00", bus: 1)]).First(), [new("chassis"), new("cabin")]);

        Assert.Empty(watch.Readings([new ReadingRequest(Speed, Second, 0)], null));
    }

    [Fact]
    public void A_signal_that_was_met_costs_no_memory_a_frame()
    {
        var batch = Some.Batches(Enumerable.Range(0, 256).Select(i => Some.Frame(0x0C8, $"{i:X4}0000", i))).First();
        var watch = new SignalWatch(plan);
        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 100; i++)
            {
                watch.Accept(batch, Buses);
            }
        }));
    }
}
