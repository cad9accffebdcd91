using BusScope.Frames;
using BusScope.Transport.Kernel;
using Xunit;

namespace BusScope.Transport.Tests.Kernel;

/// <summary>What the kernel tells of its interfaces while it is asked for all of them.</summary>
public class KernelInterfaceTests
{
    [Fact]
    public void One_that_changes_while_they_are_listed_is_listed_once_as_it_is_now()
    {
        KernelInterface[] told = [Can(3, ControllerState.ErrorPassive), Can(3, ControllerState.BusOff), Can(4, ControllerState.ErrorActive), Can(3, ControllerState.BusOff)];

        Assert.Equal([(3, ControllerState.BusOff), (4, ControllerState.ErrorActive)], KernelInterface.Latest(told).Select(link => (link.Index, link.State!.Value)));
    }

    [Fact]
    public void One_that_is_unplugged_while_they_are_listed_is_not_listed() =>
        Assert.Equal([4], KernelInterface.Latest([Can(3, ControllerState.ErrorActive), Can(4, ControllerState.ErrorActive), Can(3, null) with { IsGone = true }]).Select(link => link.Index));

    private static KernelInterface Can(int index, ControllerState? state) => new(index, $"can{index}") { IsCan = true, State = state };
}
