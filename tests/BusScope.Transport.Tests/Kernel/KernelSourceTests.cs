using BusScope.Frames;
using BusScope.Transport.Adapters;
using BusScope.Transport.Kernel;
using CsCheck;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Transport.Tests.Kernel;

public sealed class KernelSourceTests : IDisposable
{
    private const uint ErrorReportBit = 0x2000_0000;
    private static readonly DateTimeOffset Start = new(2026, 3, 4, 5, 6, 7, TimeSpan.Zero);
    private readonly FakeTimeProvider time = new(Start);
    private readonly FakeKernel kernel = new();
    private readonly FrameBatch batch = new();
    private readonly CancellationToken cancellation = TestContext.Current.CancellationToken;

    [Fact]
    public void Frames_come_with_their_bus_time_direction_and_payload()
    {
        var (_, cabin) = (kernel.Socket(1), kernel.Socket(2));
        using var source = Source(("chassis", 1), ("cabin", 2));
        cabin.Give(0x123, At(-3) - 5, "CAFE");
        cabin.Give(0x8000_0456, At(-3) - 4, flags: 4);

        Assert.Equal(SourceState.Frames, source.Read(batch, cancellation));

        Assert.Equal(2, batch.Count);
        ref readonly var first = ref batch.Frames[0];
        Assert.Equal((1, new CanId(0x123, isExtended: false), At(-3) - 5, Direction.Received), (first.Bus, first.Id, first.Time.Nanoseconds, first.Direction));
        Assert.Equal([0xCA, 0xFE], first.Data.ToArray());
        Assert.Equal((new CanId(0x456, isExtended: true), Direction.Sent), (batch.Frames[1].Id, batch.Frames[1].Direction));
        Assert.Equal(SourceClock.Ours, source.Clock);
    }

    [Fact]
    public void Frames_of_several_interfaces_come_in_the_order_of_their_times()
    {
        // The model: all of them together, sorted. Everything is older than two milliseconds, so nothing earlier can come.
        Gen.Long[0, 1_000_000].Array[0, 600].Array[1, 4].Sample(all =>
        {
            var machine = new FakeKernel();
            using var source = Source(machine, [.. all.Select((_, index) => ($"bus{index}", index + 1))]);
            foreach (var (times, index) in all.Select((times, index) => (times.Order(), index)))
            {
                var socket = machine.Sockets[index + 1];
                foreach (var at in times)
                {
                    socket.Give((uint)index, At(-4) + at);
                }
            }

            var expected = all.SelectMany((times, index) => times.Order().Select(at => (At(-4) + at, index))).OrderBy(each => each.Item1);
            Assert.Equal(expected.Select(each => each.Item1), ReadAll(source).Select(frame => frame.Time.Nanoseconds));
        }, iter: 50);
    }

    [Fact]
    public void A_frame_that_came_while_the_neighbours_were_asked_waits_for_them()
    {
        var (chassis, cabin) = (kernel.Socket(1), kernel.Socket(2));
        using var source = Source(("chassis", 1), ("cabin", 2));

        // Not two milliseconds old: on the other interface an earlier one may be on its way to be read.
        cabin.Give(0x2, At(-1.9));
        Assert.Equal(SourceState.Idle, source.Read(batch, cancellation));
        chassis.Give(0x1, At(-1.95));
        time.Advance(TimeSpan.FromMilliseconds(4));

        Assert.Equal(SourceState.Frames, source.Read(batch, cancellation));

        Assert.Equal([0x1u, 0x2u], Ids());
        Assert.Equal([50, 4, 0], kernel.Waits);
    }

    [Fact]
    public void On_a_bus_that_speaks_frames_are_gathered_and_on_a_silent_one_the_first_comes_at_once()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        source.Read(batch, cancellation);
        socket.Give(0x1, At(0) - 1);
        source.Read(batch, cancellation);
        socket.Give(0x2, At(0) - 1);
        source.Read(batch, cancellation);

        Assert.Equal([50, 50, 8, 50], kernel.Waits);
    }

    [Fact]
    public void What_the_caller_did_since_frames_were_taken_counts_as_gathering()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        foreach (var milliseconds in new[] { 6, 9, 0 })
        {
            socket.Give(0x1, At(0) - 1);
            source.Read(batch, cancellation);
            time.Advance(TimeSpan.FromMilliseconds(milliseconds));
        }

        Assert.Equal([50, 2, 50, 50], kernel.Waits);
    }

    [Fact]
    public void A_clock_set_back_holds_no_frame_for_ever()
    {
        kernel.Socket(1);
        var cabin = kernel.Socket(2);
        using var source = Source(("chassis", 1), ("cabin", 2));
        cabin.Give(0x2, At(3_600_000));

        Assert.Equal(SourceState.Idle, source.Read(batch, cancellation));
        Assert.Equal(SourceState.Frames, source.Read(batch, cancellation));
    }

    [Fact]
    public void An_interface_switched_off_and_on_goes_on_and_the_time_between_is_told()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        socket.Refuse(Errno.NetworkDown);
        source.Read(batch, cancellation);
        Assert.Equal([1], kernel.Asked);
        kernel.Tell(Link(1) with { IsUp = false });
        source.Read(batch, cancellation);
        var down = source.StatusOf(0)!;

        time.Advance(TimeSpan.FromSeconds(2));
        kernel.Tell(Link(1));
        socket.Give(0x7, At(2_000));
        source.Read(batch, cancellation);

        Assert.Equal((ControllerState.Down, At(0)), (down.State, down.Since.Nanoseconds));
        Assert.Equal((ControllerState.ErrorActive, At(2_000)), (source.StatusOf(0)!.State, source.StatusOf(0)!.Since.Nanoseconds));
        Assert.Equal([0x7u], Ids());
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal((AdapterProblems.Down, 1L, "chassis"), (problem.Kind, problem.Count, problem.First.Bus));
    }

    [Fact]
    public void News_of_an_interface_that_is_on_again_by_now_put_nothing_out()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        kernel.Tell(Link(1) with { IsUp = false });
        kernel.Tell(Link(1));
        socket.Refuse(Errno.NetworkDown);
        source.Read(batch, cancellation);
        kernel.Tell(Link(1));
        source.Read(batch, cancellation);

        Assert.Equal(ControllerState.ErrorActive, source.StatusOf(0)!.State);
        Assert.Equal(1, Assert.Single(source.Problems.All).Count);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void What_the_kernel_had_taken_in_before_the_interface_was_unplugged_is_given(bool isToldFirst)
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        for (var i = 0; i < 2_000; i++)
        {
            socket.Give((uint)i, At(-10) + i);
        }

        socket.Refuse(Errno.NoDevice, isBefore: true);
        if (isToldFirst)
        {
            kernel.Tell(Link(1) with { IsGone = true });
        }

        Assert.Equal(2_000, ReadAll(source).Count);
        Assert.True(socket.IsClosed);
        Assert.Equal(ControllerState.Gone, source.StatusOf(0)!.State);
    }

    [Fact]
    public void Who_breaks_off_is_given_at_once_what_is_there()
    {
        var (chassis, cabin) = (kernel.Socket(1), kernel.Socket(2));
        using var source = Source(("chassis", 1), ("cabin", 2));
        chassis.Give(0x1, At(0) + 400);
        cabin.Give(0x2, At(0) + 500);

        Assert.Equal(SourceState.Frames, source.Read(batch, new CancellationToken(canceled: true)));

        Assert.Equal([0x1u, 0x2u], Ids());
        Assert.Equal([0], kernel.Waits);
        Assert.Equal(SourceState.Idle, source.Read(batch, new CancellationToken(canceled: true)));
    }

    [Fact]
    public void One_that_was_unplugged_is_opened_anew_when_it_returns_under_its_name()
    {
        var before = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        before.Refuse(Errno.NoDevice);
        source.Read(batch, cancellation);
        Assert.Equal(ControllerState.Gone, source.StatusOf(0)!.State);
        Assert.True(before.IsClosed);

        kernel.Socket(9).Give(0x9, At(0) - 1);
        kernel.Tell(Link(8) with { Name = "can7" });
        kernel.Tell(Link(9));
        source.Read(batch, cancellation);

        Assert.Equal([0x9u], Ids());
        Assert.Equal(ControllerState.ErrorActive, source.StatusOf(0)!.State);
        Assert.Equal([AdapterProblems.Gone], source.Problems.All.Select(problem => problem.Kind));
    }

    [Fact]
    public void Error_reports_tell_the_state_of_the_controller_and_its_counters()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));

        // include/uapi/linux/can/error.h: controller class with counters, receive error passive; then bus off; then restarted.
        socket.Give(ErrorReportBit | 0x204, At(0) - 3, "0010000000000382");
        source.Read(batch, cancellation);
        var passive = source.StatusOf(0)!;
        socket.Give(ErrorReportBit | 0x040, At(0) - 2, "0000000000000000");
        source.Read(batch, cancellation);
        var off = source.StatusOf(0)!;
        socket.Give(ErrorReportBit | 0x100, At(0) - 1, "0000000000000000");
        source.Read(batch, cancellation);

        Assert.Equal((ControllerState.ErrorPassive, 3, 130), (passive.State, passive.TransmitErrors, passive.ReceiveErrors));
        Assert.Equal((ControllerState.BusOff, At(0) - 2), (off.State, off.Since.Nanoseconds));
        Assert.Equal(ControllerState.ErrorActive, source.StatusOf(0)!.State);
    }

    [Fact]
    public void What_the_kernel_had_to_drop_is_counted_also_on_a_bus_that_is_quiet_since()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        socket.Lost = 17;

        Assert.Equal(17, source.StatusOf(0)!.LostFrames);
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal((AdapterProblems.Lost, 17L), (problem.Kind, problem.Count));
    }

    [Fact]
    public void The_state_alone_is_told_without_asking_what_was_dropped()
    {
        var socket = kernel.Socket(1);
        using var source = Source(("chassis", 1));
        socket.Lost = 17;

        Assert.Equal(ControllerState.ErrorActive, source.StateOf(0));
        Assert.Empty(source.Problems.All);
        kernel.Tell(Link(1) with { IsUp = false });
        source.Read(batch, cancellation);
        Assert.Equal(ControllerState.Down, source.StateOf(0));
        Assert.Equal(17, source.StatusOf(0)!.LostFrames);
    }

    [Fact]
    public void Controllers_are_asked_for_their_state_each_second_and_virtual_ones_never()
    {
        kernel.Socket(1);
        kernel.Socket(2);
        using var source = new KernelSource(kernel, [Part("chassis", Link(1)), Part("cabin", Link(2) with { Kind = "vcan", State = null })], time);
        for (var i = 0; i < 40; i++)
        {
            source.Read(batch, cancellation);
            time.Advance(TimeSpan.FromMilliseconds(100));
        }

        Assert.Equal([1, 1, 1], kernel.Asked);
        Assert.Equal(ControllerState.Unknown, source.StatusOf(1)!.State);
    }

    [Fact]
    public void The_controllers_own_losses_count_from_the_opening()
    {
        kernel.Socket(1);
        using var source = new KernelSource(kernel, [Part("chassis", Link(1) with { Overruns = 100 })], time);

        kernel.Tell(Link(1) with { Overruns = 103 });
        source.Read(batch, cancellation);

        Assert.Equal(3, source.StatusOf(0)!.LostFrames);
        Assert.Equal((AdapterProblems.Overrun, 3L), Assert.Single(source.Problems.All) is var problem ? (problem.Kind, problem.Count) : default);
    }

    [Fact]
    public void The_status_is_the_same_object_while_nothing_changes()
    {
        kernel.Socket(1);
        using var source = Source(("chassis", 1));

        Assert.Same(source.StatusOf(0), source.StatusOf(0));
    }

    public void Dispose() => kernel.Dispose();

    private uint[] Ids() => [.. batch.Frames.ToArray().Select(frame => frame.Id.Value)];

    private static long At(double milliseconds) => (Start.ToUnixTimeMilliseconds() * 1_000_000) + (long)(milliseconds * 1_000_000);

    private static KernelInterface Link(int index) => new(index, "can0") { IsCan = true, IsUp = true, Kind = "can", State = ControllerState.ErrorActive };

    private (Bus, KernelInterface, ICanSocket) Part(string bus, KernelInterface link) => (new Bus(bus), link, kernel.Sockets[link.Index]);

    private KernelSource Source(params (string Bus, int Index)[] parts) =>
        new(kernel, [.. parts.Select(part => Part(part.Bus, Link(part.Index)))], time);

    private KernelSource Source(FakeKernel machine, (string Bus, int Index)[] parts) =>
        new(machine, [.. parts.Select(part => (new Bus(part.Bus), Link(part.Index), (ICanSocket)machine.Socket(part.Index)))], time);

    private static List<Frame> ReadAll(KernelSource source)
    {
        var all = new List<Frame>();
        var batch = new FrameBatch();
        while (source.Read(batch, TestContext.Current.CancellationToken) == SourceState.Frames)
        {
            all.AddRange(batch.Frames);
        }

        return all;
    }
}
