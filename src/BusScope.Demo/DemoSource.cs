using BusScope.Demo.Car;
using BusScope.Demo.Senders;
using BusScope.Demo.Stories;
using BusScope.Demo.Wires;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Demo;

/// <summary>
/// A story of the Dunlin as a source: the frames of all its buses in order of time, as fast as they are read. The same name and
/// the same options give the same frames on every machine.
/// </summary>
public sealed class DemoSource : IFrameSource
{
    private readonly DemoOptions options;
    private readonly Dunlin car;
    private readonly MessageSender[] senders;
    private readonly BusLine[] lines;
    private readonly ushort[] senderLines;
    private readonly double end;
    private long now = Epoch;

    private DemoSource(StoryPlan story, DemoOptions options)
    {
        this.options = options;
        Name = "demo:" + story.Story.Name;
        Buses = story.Network.Buses;
        end = options.To ?? (options.IsEndless && story.Script.LoopTo > 0 ? double.PositiveInfinity : story.Script.Length);
        car = new Dunlin(story.Script, story.Condition, options.IsEndless);
        lines = [.. Buses.Select((bus, i) => new BusLine((ushort)i, bus.BitRate!.Value, bus.Name != story.LoneBus))];
        (senders, senderLines) = SenderList.For(story, car, options.Seed);
    }

    /// <summary>Second 0 of every story: 2026-05-09T08:00:00Z.</summary>
    public static FrameTime Start { get; } = new(Epoch);

    private const long Epoch = 1_778_313_600L * FrameSpan.NanosecondsPerSecond;

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses { get; }

    /// <inheritdoc/>
    public ProblemLog Problems { get; } = new();

    /// <inheritdoc/>
    public double? Progress => double.IsInfinity(end) ? null : Math.Clamp((car.Time - options.From) / (end - options.From), 0, 1);

    /// <summary>Opens a story.</summary>
    /// <param name="name">One of <see cref="DemoStories.All"/>.</param>
    /// <param name="options">How it is told; null for the usual way.</param>
    /// <exception cref="SourceException">There is no such story.</exception>
    public static DemoSource Open(string name, DemoOptions? options = null) =>
        StoryPlans.Find(name) is { } story
            ? new DemoSource(story, options ?? new DemoOptions())
            : throw new SourceException($"there is no demo '{name}': {string.Join(", ", DemoStories.All.Select(s => s.Name))}");

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        batch.Clear();
        while (!batch.IsFull)
        {
            if (TakeEarliest(batch))
                continue;
            if (car.Time >= end || cancellation.IsCancellationRequested)
                break;
            Advance();
        }

        return batch.Count > 0 ? SourceState.Frames
            : car.Time >= end ? SourceState.Ended
            : SourceState.Idle;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
    }

    private void Advance()
    {
        car.Advance();
        now = Epoch + (long)Math.Round(car.Time * FrameSpan.NanosecondsPerSecond);
        foreach (var module in car.Modules)
        {
            if (module.HasJustReset)
                Silence(module);
        }

        for (var i = 0; i < senders.Length; i++)
            senders[i].Advance(car, Epoch, lines[senderLines[i]]);
        foreach (var line in lines)
            line.Advance(now);
    }

    private void Silence(Module module)
    {
        for (var line = 0; line < lines.Length; line++)
        {
            var mailboxes = senders.Where((s, i) => senderLines[i] == line && s.Module == module).Select(s => s.Mailbox).ToHashSet();
            if (mailboxes.Count > 0)
                lines[line].Disturb(now, mailboxes.Contains);
        }
    }

    // A frame that ends before now can be given: whatever is still to be sent begins at now or later.
    private bool TakeEarliest(FrameBatch batch)
    {
        BusLine? first = null;
        foreach (var line in lines)
        {
            if (line.Sent.TryPeek(out var frame) && frame.Time.Nanoseconds < now && (first is null || frame.Time < first.Sent.Peek().Time))
                first = line;
        }

        if (first is null)
            return false;
        var taken = first.Sent.Dequeue();
        if (taken.Time.Nanoseconds >= Epoch + (long)(options.From * FrameSpan.NanosecondsPerSecond))
            batch.Add() = taken;
        return true;
    }
}
