using BusScope.Analysis.Learning;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class MissingFramesTests
{
    [Fact]
    public void Frames_that_are_missing_here_and_there_are_told_by_the_counters_of_many_messages()
    {
        var random = new Random(4);

        var missing = Learn(6, _ => random.Next(20) == 0).Missing;

        Assert.Equal((6, 6), (missing?.Jumping, missing?.Counters));
        Assert.InRange(missing!.Share, 0.03, 0.07);
        Assert.Contains("Frames are missing in what was learned from, about ", missing.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void One_message_whose_frames_are_missing_and_a_recording_without_losses_are_no_such_thing()
    {
        var random = new Random(4);

        Assert.Null(Learn(6, message => message == 2 && random.Next(20) == 0).Missing);
        Assert.Null(Learn(6, _ => false).Missing);
        Assert.Null(Learn(3, _ => random.Next(20) == 0).Missing);
    }

    // Messages of 10 ms for ten seconds, each with a counter of four bits.
    private static Baseline Learn(int messages, Func<int, bool> isLost) => LearnedCar.Of([.. Enumerable.Range(0, messages).Select(message =>
        new SentMessage((uint)(0x100 + message), LearnedCar.Every(10, 0, 10_000).Where(_ => !isLost(message)).ToList(), time => [(byte)((int)(time / 10) & 15), 7]))]);
}
