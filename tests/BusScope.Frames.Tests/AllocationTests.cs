using BusScope.TestKit;
using Xunit;

namespace BusScope.Frames.Tests;

/// <summary>The measure that the other tests of allocation trust.</summary>
public class AllocationTests
{
    private static object? kept;

    [Fact]
    public void What_a_run_allocates_each_time_is_told() =>
        Assert.InRange(Allocation.Of(() => kept = new byte[100]), 100, 200);

    [Fact]
    public void One_object_in_a_thousand_turns_is_told() => Assert.InRange(Allocation.Of(() =>
    {
        for (var i = 0; i < 1_000; i++)
        {
            kept = i == 500 ? new object() : kept;
        }
    }), 16, 64);

    [Fact]
    public void What_is_allocated_now_and_then_is_not()
    {
        var run = 0;

        Assert.Equal(0, Allocation.Of(() => kept = ++run % 3 == 0 ? kept : new byte[1_000]));
    }

    [Fact]
    public void What_prepares_a_run_is_not_counted() => Assert.Equal(0, Allocation.Of(() => kept = null, () => kept = new byte[1_000]));
}
