using BusScope.Frames.Diagnostics;
using Xunit;

namespace BusScope.Frames.Tests;

public class SourceAroundTests
{
    [Fact]
    public void Every_member_of_a_source_is_passed_on()
    {
        var map = typeof(SourceAround).GetInterfaceMap(typeof(IFrameSource));

        Assert.All(map.TargetMethods, method => Assert.Equal(typeof(SourceAround), method.DeclaringType));
    }

    [Fact]
    public void What_is_not_changed_is_what_the_inner_one_says()
    {
        var inner = new Inner();
        var around = new Around(inner);
        var batch = new FrameBatch();

        Assert.Equal(
            (inner.Name, inner.Progress, inner.Clock, SourceState.Idle),
            (around.Name, around.Progress, around.Clock, around.Read(batch, TestContext.Current.CancellationToken)));
        Assert.Same(inner.Buses, around.Buses);
        Assert.Same(inner.Problems, around.Problems);
        Assert.Same(inner.Comments, around.Comments);
        Assert.Same(inner.Status, around.StatusOf(0));
        Assert.Equal(ControllerState.BusOff, around.StateOf(0));
        Assert.Same(batch, inner.Filled);
        Assert.Same(inner.Here, around.Place());
        var place = new Somewhere();
        around.BeginAt(place);
        Assert.Same(place, inner.BegunAt);
        around.Dispose();
        Assert.True(inner.IsDisposed);
    }

    private sealed class Around(IFrameSource inner) : SourceAround(inner);

    private sealed record Somewhere : SourcePlace;

    private sealed class Inner : IFrameSource
    {
        public string Name => "inner";

        public IReadOnlyList<Bus> Buses { get; } = [new("chassis")];

        public ProblemLog Problems { get; } = new();

        public IReadOnlyList<string> Comments { get; } = ["a comment"];

        public double? Progress => 0.25;

        public SourceClock Clock => SourceClock.Theirs;

        public ControllerStatus Status { get; } = new(ControllerState.BusOff);

        public FrameBatch? Filled { get; private set; }

        public SourcePlace Here { get; } = new Somewhere();

        public SourcePlace? BegunAt { get; private set; }

        public bool IsDisposed { get; private set; }

        public ControllerStatus? StatusOf(int bus) => Status;

        public ControllerState? StateOf(int bus) => ControllerState.BusOff;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            Filled = batch;
            return SourceState.Idle;
        }

        public SourcePlace? Place() => Here;

        public void BeginAt(SourcePlace place) => BegunAt = place;

        public void Dispose() => IsDisposed = true;
    }
}
