using BusScope.Analysis.Learning.Payloads;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class PayloadSamplesTests
{
    private const int All = 4096;

    [Fact]
    public void While_they_are_few_all_payloads_are_kept_in_their_order()
    {
        var samples = Numbered(All);

        Assert.Equal(All, samples.Count);
        Assert.All(Enumerable.Range(1, All - 1), i => Assert.True(samples.FollowsPrevious(i)));
        Assert.Equal(Enumerable.Range(0, All), Enumerable.Range(0, All).Select(i => Number(samples, i)));
    }

    [Theory]
    [InlineData(4_200)]
    [InlineData(6_000)]
    [InlineData(60_000)]
    [InlineData(1_000_000)]
    public void Of_many_payloads_a_bounded_number_is_kept_from_every_part_of_the_recording(int count)
    {
        var samples = Numbered(count);

        Assert.InRange(samples.Count, All / 2, All + PayloadSamples.Run);
        Assert.Equal(16, Enumerable.Range(0, samples.Count).Select(i => Number(samples, i) * 16L / count).Distinct().Count());
    }

    // Counters, pages, whatever goes round: every second run of 64 frames would never have the step from the 64th to the 65th in it.
    [Theory]
    [InlineData(6_000)]
    [InlineData(30_000)]
    [InlineData(60_000)]
    [InlineData(1_000_000)]
    public void No_step_of_anything_that_goes_round_is_missed(int count)
    {
        var samples = Numbered(count);
        var steps = Enumerable.Range(1, samples.Count - 1).Where(samples.FollowsPrevious).Select(i => Number(samples, i)).ToList();

        Assert.All(Enumerable.Range(2, 127), period => Assert.Equal(period, steps.Select(number => number % period).Distinct().Count()));
    }

    [Fact]
    public void Each_payload_knows_which_one_it_is_and_whether_it_came_right_after_the_one_before()
    {
        var samples = Numbered(60_000);

        Assert.Equal(60_000, samples.Seen);
        Assert.All(Enumerable.Range(0, samples.Count), i => Assert.Equal(Number(samples, i), samples.NumberOf(i)));
        Assert.All(Enumerable.Range(1, samples.Count - 1), i => Assert.Equal(Number(samples, i) == Number(samples, i - 1) + 1, samples.FollowsPrevious(i)));
    }

    private static PayloadSamples Numbered(int count) => LearnedPayloads.Make(4, count, BitConverter.GetBytes);

    private static int Number(PayloadSamples samples, int index) => BitConverter.ToInt32(samples[index]);
}
