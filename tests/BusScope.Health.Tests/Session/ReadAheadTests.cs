using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Session;

/// <summary>A recording that a second thread reads: who takes its batches must not be able to tell.</summary>
public sealed class ReadAheadTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>One batch: how many frames, whether the last has a comment, whether a bus is new, whether a known one is completed.</summary>
    private static readonly Gen<Step[]> scripts =
        Gen.Select(Gen.Int[0, FrameBatch.Capacity], Gen.Bool, Gen.Int[0, 20], Gen.Int[0, 20])
            .Select((frames, isNoted, meets, completes) => new Step(frames, isNoted, meets == 0, completes == 0))
            .Array[0, ReadAhead.Depth * 3];

    [Fact]
    public void Frames_numbers_comments_buses_and_progress_are_those_of_the_source_itself()
    {
        scripts.Sample(
            script =>
            {
                var (directly, ahead) = (new List<string>(), new List<string>());
                var source = new Scripted(script);
                var batch = new FrameBatch();
                while (source.Read(batch, Cancellation) != SourceState.Ended)
                {
                    directly.Add(Describe(batch, source.Buses, source.Progress));
                }

                using var reading = new ReadAhead(new Scripted(script), Cancellation);
                var taken = new FrameBatch();
                while (reading.Take(taken) != SourceState.Ended)
                {
                    ahead.Add(Describe(taken, reading.Buses, reading.Progress));
                }

                Assert.Equal(directly, ahead);
                Assert.Equal(Describe(batch, source.Buses, source.Progress), Describe(taken, reading.Buses, reading.Progress));
            },
            iter: 60);
    }

    [Fact]
    public void A_source_that_fails_does_so_behind_the_last_frame_that_it_gave()
    {
        var source = new Scripted([.. Enumerable.Repeat(new Step(3), ReadAhead.Depth + 5)]) { FailsAtEnd = true };
        using var reading = new ReadAhead(source, Cancellation);
        var batch = new FrameBatch();

        for (var i = 0; i < ReadAhead.Depth + 5; i++)
        {
            Assert.Equal((SourceState.Frames, 3, (i * 3) + 1), (reading.Take(batch), batch.Count, batch.FirstNumber));
        }

        Assert.Equal("torn", Assert.Throws<SourceException>(() => reading.Take(batch)).Message);
    }

    [Fact]
    public void What_was_read_when_it_was_broken_off_is_still_given_so_that_source_and_taker_agree()
    {
        using var cancellation = new CancellationTokenSource();
        var source = new Scripted([.. Enumerable.Repeat(new Step(2), ReadAhead.Depth * 4)]);
        using var reading = new ReadAhead(source, cancellation.Token);
        var batch = new FrameBatch();
        var taken = 0;

        Assert.Throws<OperationCanceledException>(() =>
        {
            while (reading.Take(batch) != SourceState.Ended)
            {
                taken++;
                if (taken == 10)
                {
                    cancellation.Cancel();
                }
            }
        });

        Assert.InRange(taken, 10, (ReadAhead.Depth * 4) - 1);
        Assert.Equal(source.Reads, taken);
    }

    [Fact]
    public void Nobody_reads_on_once_it_was_let_go()
    {
        var source = new Scripted([.. Enumerable.Repeat(new Step(1), ReadAhead.Depth * 4)]);
        var batch = new FrameBatch();
        using (var reading = new ReadAhead(source, Cancellation))
        {
            _ = reading.Take(batch);
        }

        var read = source.Reads;
        Assert.InRange(read, 1, ReadAhead.Depth + 1);

        // The source is the caller's again.
        Assert.Equal(SourceState.Frames, source.Read(batch, Cancellation));
        Assert.Equal(read + 1, source.Reads);
    }

    [Fact]
    public void No_more_is_read_ahead_than_there_is_room_for()
    {
        var source = new Scripted([.. Enumerable.Repeat(new Step(1), ReadAhead.Depth * 3)]);
        using var reading = new ReadAhead(source, Cancellation);
        var batch = new FrameBatch();
        for (var taken = 1; reading.Take(batch) != SourceState.Ended; taken++)
        {
            Assert.InRange(source.Reads, taken, taken + ReadAhead.Depth);
        }
    }

    private static string Describe(FrameBatch batch, IReadOnlyList<Bus> buses, double? progress) =>
        $"{batch.FirstNumber}+{batch.Count} {string.Join(' ', batch.Frames.ToArray().Select(frame => $"{frame.Time.Nanoseconds}/{frame.Bus}"))} "
        + $"{string.Join(' ', batch.Notes)} {string.Join(' ', buses.Select(bus => $"{bus.Name}:{bus.BitRate}"))} {progress}";

    private sealed record Step(int Frames, bool IsNoted = false, bool MeetsBus = false, bool CompletesBus = false);

    /// <summary>A source whose list of buses goes on under the hands of whoever holds it, as that of a capture does.</summary>
    private sealed class Scripted(Step[] script) : IFrameSource
    {
        private readonly List<Bus> buses = [new("first")];
        private int next;
        private int frames;

        public bool FailsAtEnd { get; init; }

        /// <summary>How many batches were read.</summary>
        public int Reads => Volatile.Read(ref next);

        public string Name => "scripted";

        public IReadOnlyList<Bus> Buses => buses;

        public ProblemLog Problems { get; } = new();

        public double? Progress => script.Length == 0 ? null : next / (double)script.Length;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            if (next == script.Length)
            {
                return FailsAtEnd ? throw new SourceException("torn") : SourceState.Ended;
            }

            var step = script[next];
            if (step.MeetsBus)
            {
                buses.Add(new Bus($"bus {buses.Count}"));
            }

            if (step.CompletesBus)
            {
                buses[next % buses.Count] = buses[next % buses.Count] with { BitRate = next };
            }

            for (var i = 0; i < step.Frames; i++)
            {
                batch.Add() = Some.Frame(0x100, "01 02", frames++) with { Bus = (ushort)(frames % buses.Count) };
            }

            if (step is { IsNoted: true, Frames: > 0 })
            {
                batch.Note($"frame {frames}");
            }

            Volatile.Write(ref next, next + 1);
            return step.Frames > 0 ? SourceState.Frames : SourceState.Idle;
        }

        public void Dispose()
        {
        }
    }
}
