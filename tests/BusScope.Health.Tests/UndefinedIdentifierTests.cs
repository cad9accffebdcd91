using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests;

public class UndefinedIdentifierTests
{
    private static readonly Bus[] Buses = [new("a") { BitRate = 500_000 }, new("b") { BitRate = 500_000 }];

    private static readonly Gen<Frame> AnyFrame =
        from id in Gen.OneOf(Gen.UInt[0, 5], Gen.UInt[0x7FE, 0x801])
        from extended in Gen.Bool
        from bus in Gen.Int[0, 1]
        from length in Gen.OneOf(Gen.Const(8), Gen.Int[0, 8], Gen.Int[0, 64])
        from data in Gen.Byte.Array[length]
        from milliseconds in Gen.Int[-50, 5_000]
        select Some.Frame(id, Convert.ToHexString(data), milliseconds, (ushort)bus, extended);

    [Fact]
    public void Counts_times_payload_and_changed_bits_are_those_of_a_plain_list() => AnyFrame.Array[0, 900].Sample(frames =>
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions { MarkChanges = true });
        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, Buses);
        }

        var report = monitor.Report(isFinal: true);

        Assert.Equal(frames.Length, report.Frames);
        var groups = frames.GroupBy(frame => (frame.Bus, frame.Id)).OrderBy(group => group.Key.Bus).ThenBy(group => group.Key.Id).ToList();
        Assert.Equal(groups.Select(group => (Buses[group.Key.Bus].Name, (CanId?)group.Key.Id)), report.Messages.Select(row => (row.Bus, row.Id)));
        foreach (var (group, row) in groups.Zip(report.Messages))
        {
            var list = group.ToList();
            Assert.Equal(list.Count, row.Frames);
            Assert.Equal(list[0].Time, row.First);
            Assert.Equal(list[^1].Time, row.Last);
            Assert.Equal(list[^1].Data.ToArray(), row.Payload.ToArray());
            Assert.Equal(Changed(list), row.ChangedBits.ToArray());
            Assert.Equal(ChangedAt(list), row.ChangedAt.ToArray());
            Assert.Null(row.State);
        }
    });

    [Fact]
    public void Remote_and_error_frames_count_for_the_bus_and_for_no_message()
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());

        monitor.Accept(Some.Batches([Some.Frame(1, "00"), Some.Frame(1, "", 1, kinds: FrameKinds.Remote), Some.Frame(2, "00", 2, kinds: FrameKinds.ErrorReport)]).Single(), Buses);

        var report = monitor.Report(isFinal: true);
        Assert.Equal(3, report.Buses[0].Frames);
        Assert.Equal(1, report.Buses[0].RemoteFrames);
        Assert.Equal(1, report.Buses[0].ErrorFrames);
        Assert.Equal(1, Assert.Single(report.Messages).Frames);
    }

    [Theory]
    [InlineData("busscope: 1")]
    [InlineData("""
        busscope: 1
        buses: { a: {}, b: {} }
        messages:
          One: { id: 1, bus: b, length: 8, every: 1 ms, counter: { byte: 1, bits: 0..3 }, signals: { Value: { bytes: 0..1, order: big, range: 0..100, lives: true } } }
          Two: { id: 2, bus: a, length: 8, every: 1 ms, while: Value > 20000, signals: { Other: { bytes: 2..3, order: little } } }
        """)]
    public void A_frame_costs_no_memory_once_every_identifier_was_met(string definitions)
    {
        var plan = new DefinitionPlan(DefinitionLoader.LoadText(definitions, "definitions.yaml").Definitions!);
        var monitor = new HealthMonitor(plan, new MonitorOptions { MarkChanges = true });
        var batch = new FrameBatch();
        var time = 0;
        Run(monitor, batch, ref time, 100);

        Assert.Equal(0, Allocation.Of(() => Run(monitor, batch, ref time, 100)));
    }

    [Fact]
    public void Identifiers_beyond_the_most_that_are_told_apart_are_counted_and_told()
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
        var frames = Enumerable.Range(0, HealthMonitor.LargestTracks + 10).Select(i => Some.Frame((uint)i, "00", i * 0.001, extended: true));

        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, Buses);
        }

        var report = monitor.Report(isFinal: true);
        Assert.Equal(HealthMonitor.LargestTracks, report.Messages.Count);
        Assert.Equal(10, report.Buses[0].OverflowFrames);
        Assert.Contains(report.Findings, finding => finding.Code == "identifier-overflow" && finding.Count == 10);
    }

    private static void Run(HealthMonitor monitor, FrameBatch batch, ref int time, int batches)
    {
        Span<byte> data = stackalloc byte[8];
        for (var i = 0; i < batches; i++)
        {
            batch.Clear();
            while (!batch.IsFull)
            {
                time++;
                data[time & 7] = (byte)time;
                batch.Add().Set(new FrameTime(time * 100_000L), (ushort)(time & 1), new CanId((uint)(time % 7), time % 3 == 0), FrameKinds.None, data);
            }

            monitor.Accept(batch, Buses);
        }
    }

    // A byte that a shorter payload lacks counts as zero.
    private static byte[] Padded(Frame frame)
    {
        var padded = new byte[64];
        frame.Data.CopyTo(padded);
        return padded;
    }

    private static byte[] Changed(List<Frame> frames)
    {
        var changed = new byte[frames[^1].Length];
        for (var i = 0; i < changed.Length; i++)
        {
            changed[i] = frames.Aggregate((byte)0, (bits, frame) => (byte)(bits | (Padded(frame)[i] ^ Padded(frames[0])[i])));
        }

        return changed;
    }

    private static FrameTime[] ChangedAt(List<Frame> frames)
    {
        var at = Enumerable.Repeat(FrameTime.Never, frames[^1].Length).ToArray();
        for (var f = 1; f < frames.Count; f++)
        {
            for (var i = 0; i < at.Length; i++)
            {
                if (Padded(frames[f])[i] != Padded(frames[f - 1])[i])
                {
                    at[i] = frames[f].Time;
                }
            }
        }

        return at;
    }
}
