using BusScope.Demo.Wires;
using BusScope.Frames;
using CsCheck;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class ArbitrationTests
{
    private const long BitTime = 2_000;
    private const long Millisecond = FrameSpan.NanosecondsPerMillisecond;

    // A release each for up to forty mailboxes with identifiers of their own, crowded into a few milliseconds.
    private static readonly Gen<Release[]> genReleases =
        Gen.Select(Gen.Shuffle(Enumerable.Range(0, 0x800).ToArray(), 1, 40), Gen.Long[0, 4 * Millisecond].Array[40], Gen.ULong.Array[40], Gen.Int[0, 8].Array[40],
            (ids, times, payloads, lengths) => ids.Select((id, i) => new Release(i, times[i], new CanId((uint)id, false), (byte)lengths[i], payloads[i])).ToArray());

    [Fact]
    public void Every_frame_is_sent_once_and_the_lowest_identifier_among_those_waiting_goes_first()
    {
        genReleases.Sample(releases =>
        {
            var sent = Run(releases, step: 100 * Millisecond);

            Assert.Equal(releases.Select(r => r.Id).Order(), sent.Select(f => f.Id).Order());
            var freeAt = long.MinValue;
            var open = releases.ToDictionary(r => r.Id, r => r.At);
            foreach (var frame in sent)
            {
                var start = frame.Time.Nanoseconds - (FrameBits.Of(frame) * BitTime);
                // It begins as soon as the bus is free and somebody has something to say.
                Assert.Equal(Math.Max(freeAt, open.Values.Min()), start);
                Assert.Equal(open.Where(o => o.Value <= start).Min(o => o.Key), frame.Id);
                open.Remove(frame.Id);
                freeAt = frame.Time.Nanoseconds + (3 * BitTime);
            }
        });
    }

    [Fact]
    public void The_bus_does_not_depend_on_the_steps_in_which_time_goes_on()
    {
        genReleases.Sample(releases =>
        {
            var atOnce = Run(releases, step: 100 * Millisecond);
            var inSteps = Run(releases, step: Millisecond / 4);

            Assert.Equal(atOnce.Select(f => (f.Time, f.Id)), inSteps.Select(f => (f.Time, f.Id)));
        });
    }

    [Fact]
    public void Two_senders_of_one_identifier_at_the_same_moment_make_an_error_and_then_both_get_through()
    {
        var id = new CanId(0x123, false);

        var sent = Run([new Release(0, 0, id, 2, 0x1111), new Release(1, 0, id, 2, 0x2222)], step: 100 * Millisecond);

        Assert.Equal([true, false, false], sent.Select(f => f.IsErrorReport));
        Assert.Equal([0x1111UL, 0x2222UL], sent.Skip(1).Select(f => f.FirstEight));
    }

    [Fact]
    public void A_newer_frame_replaces_one_that_still_waits_in_the_same_mailbox()
    {
        var bus = new BusLine(0, 500_000);
        bus.Offer(new Release(0, 0, new CanId(1, false), 8, 1));
        bus.Offer(new Release(1, 10, new CanId(2, false), 1, 1));
        bus.Offer(new Release(1, 20, new CanId(2, false), 1, 2));

        bus.Advance(Millisecond);

        Assert.Equal([1UL, 2UL], bus.Sent.Select(f => f.FirstEight));
        Assert.Equal(1, bus.Replaced);
    }

    [Fact]
    public void A_lone_sender_is_reported_sixteen_times_and_then_seen_over_and_over()
    {
        // ISO 11898-1: eight for each failed try, error-passive from 128 on, where the count stays.
        var bus = new BusLine(0, 500_000, isAcknowledged: false);
        bus.Offer(new Release(0, 0, new CanId(0x5A0, false), 8, 0x0123456789ABCDEF));

        bus.Advance(20 * Millisecond);

        Assert.All(bus.Sent.Take(16), f => Assert.True(f.IsErrorReport));
        Assert.All(bus.Sent.Skip(16), f => Assert.Equal(0x0123456789ABCDEFUL, f.FirstEight));
        Assert.True(bus.Sent.Count > 60, $"{bus.Sent.Count} in 20 ms");
    }

    private static List<Frame> Run(Release[] releases, long step)
    {
        var bus = new BusLine(0, FrameSpan.NanosecondsPerSecond / BitTime);
        var offered = 0;
        var inOrder = releases.OrderBy(r => r.At).ToArray();
        for (var until = step; until <= 100 * Millisecond; until += step)
        {
            while (offered < inOrder.Length && inOrder[offered].At < until)
                bus.Offer(inOrder[offered++]);
            bus.Advance(until);
        }

        return [.. bus.Sent];
    }
}
