using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Queue;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests.Recording;

public class FrameQueueTests
{
    private static readonly Bus[] Buses = [new("chassis")];

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static FrameBatch Batch(int first, int count, params int[] noted)
    {
        var batch = new FrameBatch();
        for (var i = first; i < first + count; i++)
        {
            batch.Add() = Some.Frame((uint)i & 0x7FF, "", i);
            if (noted.Contains(i - first))
            {
                batch.Note($"on {i}");
            }
        }

        return batch;
    }

    [Fact]
    public void Whatever_is_added_and_taken_keeps_its_order_and_its_comments() =>
        Gen.Select(Gen.Int[0, 40], Gen.Int[0, 39]).Array[1, 30].Sample(batches =>
        {
            var queue = new FrameQueue(64);
            var (added, expectedNotes, taken, notes) = (0, new List<string>(), new List<long>(), new List<string>());
            var batch = new FrameBatch();
            void TakeAll()
            {
                while (queue.Take(batch, TimeSpan.Zero, Cancellation) == SourceState.Frames)
                {
                    notes.AddRange(batch.Notes.Select(note => $"{taken.Count + note.Index}: {note.Text}"));
                    taken.AddRange(batch.Frames.ToArray().Select(frame => frame.Time.Nanoseconds / 1_000_000));
                }
            }

            foreach (var (count, noted) in batches)
            {
                if (added - taken.Count + count > 64)
                {
                    TakeAll();
                }

                Assert.True(queue.Add(Batch(added, count, noted), Buses, Cancellation));
                if (noted < count)
                {
                    expectedNotes.Add($"{added + noted}: on {added + noted}");
                }

                added += count;
            }

            TakeAll();
            Assert.Equal(Enumerable.Range(0, added).Select(i => (long)i), taken);
            Assert.Equal(expectedNotes, notes);
            Assert.Equal(0, queue.Waits);
        });

    [Fact]
    public void A_full_ring_makes_the_adding_thread_wait_and_loses_nothing()
    {
        var queue = new FrameQueue(100);
        var adding = Task.Run(
            () =>
            {
                for (var i = 0; i < 50; i++)
                {
                    queue.Add(Batch(i * 30, 30), Buses, Cancellation);
                }

                queue.Complete();
            },
            Cancellation);
        Assert.True(SpinWait.SpinUntil(() => queue.Waits > 0, TimeSpan.FromSeconds(20)));
        Assert.False(adding.IsCompleted);

        var (batch, taken) = (new FrameBatch(), new List<long>());
        while (queue.Take(batch, TimeSpan.FromSeconds(1), Cancellation) != SourceState.Ended)
        {
            taken.AddRange(batch.Frames.ToArray().Select(frame => frame.Time.Nanoseconds / 1_000_000));
        }

        Assert.Equal(Enumerable.Range(0, 1500).Select(i => (long)i), taken);
    }

    [Fact]
    public async Task Nobody_waits_for_one_who_takes_no_more()
    {
        var queue = new FrameQueue(10);
        var adding = Task.Run(() => queue.Add(Batch(0, 30), Buses, Cancellation), Cancellation);
        Assert.True(SpinWait.SpinUntil(() => queue.Waits > 0, TimeSpan.FromSeconds(20)));

        queue.Abandon();

        Assert.False(await adding.WaitAsync(TimeSpan.FromSeconds(20), Cancellation));
        Assert.False(queue.Add(Batch(0, 5), Buses, Cancellation));
    }

    [Fact]
    public async Task Waiting_for_room_can_be_broken_off()
    {
        var queue = new FrameQueue(10);
        using var stop = new CancellationTokenSource();
        var adding = Task.Run(() => queue.Add(Batch(0, 30), Buses, stop.Token), Cancellation);
        Assert.True(SpinWait.SpinUntil(() => queue.Waits > 0, TimeSpan.FromSeconds(20)));

        await stop.CancelAsync();

        Assert.True(await adding.WaitAsync(TimeSpan.FromSeconds(20), Cancellation));
    }

    [Fact]
    public void A_note_goes_to_the_next_frame_and_can_be_taken_while_none_has_come()
    {
        var (queue, batch) = (new FrameQueue(10), new FrameBatch());
        queue.Note("lonely");

        Assert.Equal("lonely", queue.TakeWaitingNote());
        Assert.Null(queue.TakeWaitingNote());

        queue.Add(Batch(0, 2), Buses, Cancellation);
        queue.Note("here");
        Assert.Null(queue.TakeWaitingNote());
        queue.Add(Batch(2, 2), Buses, Cancellation);
        _ = queue.Take(batch, TimeSpan.Zero, Cancellation);

        Assert.Equal([new FrameNote(2, "here")], batch.Notes);
    }
}
