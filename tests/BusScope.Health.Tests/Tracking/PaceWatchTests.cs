using BusScope.Frames;
using BusScope.Health.Tracking;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public class PaceWatchTests
{
    private const long Every = 100;

    // Runs of one kind each: on time, slow, fast, two senders, uneven.
    private static readonly Gen<long[]> Gaps = Gen.Select(Gen.Int[0, 4], Gen.Int[1, 120], Gen.Long[0, 9], (kind, count, more) => Enumerable.Range(0, count).Select(i => kind switch
    {
        0 => Every + more,
        1 => (2 * Every) + more,
        2 => (Every / 4) + more,
        3 => i % 2 == 0 ? 10 + more : Every - 10 - more,
        _ => i % 7 == 0 ? 30 + more : Every + more,
    })).Array[1, 8].Select(runs => runs.SelectMany(run => run).ToArray());

    // What is looked at in blocks that have an odd gap only is the same as if every gap were looked at.
    [Fact]
    public void How_frames_come_together_changes_nothing() => Gen.Select(Gaps, Gen.Int[1, 256].Array[1, 40]).Sample((gaps, sizes) =>
    {
        var (whole, single) = (Watched(gaps, sizes), Watched(gaps, [1]));

        Assert.Equal(Said(single), Said(whole));
        Assert.Equal(gaps[1..].Sum(), whole.Time.Nanoseconds);
    });

    [Fact]
    public void A_stretch_is_as_long_as_its_gaps() => Gen.Select(Gen.Int[1, 40], Gen.Int[1, 40]).Sample((before, slow) =>
    {
        long[] gaps = [.. Enumerable.Repeat(Every, before), .. Enumerable.Repeat(3 * Every, slow), Every];
        var found = Watched(gaps, [7]).Slow;

        Assert.Equal(slow >= 4 ? (slow, 3 * Every * slow, before * Every, before) : default, (found.Gaps, found.Time.Nanoseconds, found.First.Time.Nanoseconds, found.First.Number));
        Assert.Equal(slow >= 4 ? ((before * Every) + (3 * Every * slow), before + slow) : default, (found.Last.Time.Nanoseconds, found.Last.Number));
    });

    [Fact]
    public void What_is_slow_now_is_so_since_the_last_gap_in_time_whatever_broke_it()
    {
        var watch = new PaceWatch(new FrameSpan(Every), onChange: false);
        Arrive(watch, 0, -1);
        Arrive(watch, 100, 100);
        Arrive(watch, 400, 300);
        watch.Break();
        Arrive(watch, 500, -1);
        Arrive(watch, 750, 250);

        Assert.Equal(new GapRun(2, new FrameSpan(550), new FramePlace(new FrameTime(100), 0), new FramePlace(new FrameTime(750), 0)), watch.SlowNow);

        Arrive(watch, 850, 100);

        Assert.Equal(default, watch.SlowNow);
    }

    private static void Arrive(PaceWatch watch, long time, long gap) => watch.Arrive([time], [], [gap], GapRange.Of([gap]));

    private static string Said(PaceWatch watch) => string.Join("; ", new[] { watch.Slow, watch.Fast, watch.Uneven, watch.Paired, watch.Extra }.Select(of => (of.Odd, of.Gaps, of.Time, of.First, of.Last))) + $"; {watch.SlowNow}";

    private static PaceWatch Watched(long[] gaps, int[] sizes)
    {
        var watch = new PaceWatch(new FrameSpan(Every), onChange: false);
        var (time, at) = (0L, 0);
        for (var block = 0; at < gaps.Length; block++)
        {
            var part = gaps.AsSpan(at, Math.Min(sizes[block % sizes.Length], gaps.Length - at));
            var (times, numbers) = (new long[part.Length], new long[part.Length]);
            for (var i = 0; i < part.Length; i++)
            {
                (times[i], numbers[i]) = (time += part[i], ++at);
            }

            watch.Arrive(times, numbers, part, GapRange.Of(part));
        }

        return watch;
    }
}
