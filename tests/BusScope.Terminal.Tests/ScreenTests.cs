using BusScope.TestKit;

using Xunit;

namespace BusScope.Terminal.Tests;

public sealed class ScreenTests
{
    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 }, { 200, 60 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_car_after_the_swap(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Faulty, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_car_that_nobody_documents(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Undocumented, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }
}
