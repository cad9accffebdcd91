using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

/// <summary>Usual frames are gathered many at once; where the load of a bus is measured, every frame is looked at by itself. Both must say the same.</summary>
public sealed class UsualFramesTests
{
    private static readonly FrameKinds[] kinds = [FrameKinds.None, FrameKinds.None, FrameKinds.None, FrameKinds.None, FrameKinds.Remote, FrameKinds.ErrorReport, FrameKinds.FlexibleDataRate];

    // Their bit rates are not stated, so that there is no load that could differ.
    private static readonly Bus[] buses = [.. Car.Buses, new("diagnosis")];

    // Few identifiers, in both formats and on all buses: those of the car, so that its conditions are read, and others.
    private static readonly Gen<Frame[]> traffic =
        from seed in Gen.Int[0, int.MaxValue]
        from count in Gen.Int[0, 3_000]
        select Traffic(new Random(seed), count);

    [Fact]
    public void Frames_gathered_many_at_once_say_what_they_say_one_by_one() => traffic.Sample(
        frames =>
        {
            var together = Said(frames, new MonitorOptions { MeasureLoad = false });
            var singly = Said(frames, new MonitorOptions { MeasureLoad = true });

            Assert.Equal(singly, together);
        },
        iter: 60);

    private static string Said(Frame[] frames, MonitorOptions options)
    {
        var monitor = new HealthMonitor(Car.Monitor().Plan, options);
        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, buses);
        }

        return Dump.Of(monitor.Report(isFinal: true));
    }

    private static Frame[] Traffic(Random dice, int count)
    {
        (uint Id, int Length)[] messages = [(0x0C8, 8), (0x1A0, 2), (0x100, 1), (0x210, 1), (0x320, 2), (0, 8), (0x7FF, 0), (0x555, 5)];
        var frames = new Frame[count];
        var milliseconds = 0.0;
        for (var i = 0; i < count; i++)
        {
            milliseconds += dice.Next(200) switch { 0 => 3_000, 1 => -5_000 * dice.NextDouble(), < 10 => -dice.NextDouble(), _ => dice.NextDouble() };
            var kind = kinds[dice.Next(kinds.Length)];
            var (id, usual) = messages[dice.Next(messages.Length)];
            var length = kind == FrameKinds.FlexibleDataRate ? 12 : dice.Next(40) == 0 ? dice.Next(9) : usual;
            frames[i] = Some.Frame(id, new string((char)('0' + dice.Next(10)), 2 * length), milliseconds, (ushort)dice.Next(buses.Length), dice.Next(8) == 0, kind);
        }

        return frames;
    }
}
