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
        for (var i = 0; i < 100; i++)
        {
            watch.Accept(batch, Buses);
        }

        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 100; i++)
        {
            watch.Accept(batch, Buses);
        }

        // 25,600 frames of three signals: one object in a hundred frames would be seen.
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 4_096);
    }
}
