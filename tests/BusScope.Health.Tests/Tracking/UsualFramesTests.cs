using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

/// <summary>Usual frames are gathered many at once; where the load of a bus is measured, every frame is looked at by itself. Both must say the same.</summary>
public sealed class UsualFramesTests
{
    // Their bit rates are not stated, so that there is no load that could differ.
    private static readonly Bus[] buses = [.. Car.Buses, new("diagnosis")];

    // Those of the car, so that its conditions are read, and others; how long each usually is.
    private static readonly (uint Id, int Length)[] messages = [(0x0C8, 8), (0x1A0, 2), (0x100, 1), (0x210, 1), (0x320, 2), (0, 8), (0x7FF, 0), (0x555, 5), (0x556, 12)];

    private static readonly Gen<Frame[]> traffic =
        from seed in Gen.Int[0, int.MaxValue]
        from count in Gen.Int[0, 12_000]
        from few in Gen.Int[1, messages.Length]
        select Traffic(new Random(seed), count, few);

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

    // Of few messages each has its rows full several times.
    private static Frame[] Traffic(Random dice, int count, int few)
    {
        var chosen = messages[..];
        dice.Shuffle(chosen);
        var frames = new Frame[count];
        var milliseconds = 0.0;
        for (var i = 0; i < count; i++)
        {
            milliseconds += dice.Next(400) switch { 0 => 3_000, 1 => -5_000 * dice.NextDouble(), < 10 => -dice.NextDouble(), _ => dice.NextDouble() };
            var (id, length) = chosen[dice.Next(few)];
            length = dice.Next(80) == 0 ? dice.Next(9) : length;
            var kind = length > 8 ? FrameKinds.FlexibleDataRate : dice.Next(40) switch { 0 => FrameKinds.Remote, 1 => FrameKinds.ErrorReport, _ => FrameKinds.None };
            frames[i] = Some.Frame(id, new string((char)('0' + dice.Next(10)), 2 * length), milliseconds, (ushort)dice.Next(dice.Next(buses.Length) + 1), dice.Next(8) == 0, kind);
        }

        return frames;
    }
}
