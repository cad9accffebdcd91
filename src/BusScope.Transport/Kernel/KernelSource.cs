using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using static BusScope.Transport.Kernel.KernelCalls;

namespace BusScope.Transport.Kernel;

/// <summary>
/// One or several CAN interfaces of the kernel as one live source. Frames of several are given in order of time: those of the last two
/// milliseconds wait for the next round, when every interface has been asked again. An interface that is switched off or unplugged is
/// waited for; the source ends only when it is disposed. Used by one thread.
/// </summary>
public sealed class KernelSource : IFrameSource
{
    // So long nothing may come before the caller gets its turn.
    private const int LongestWait = 50;

    // On a bus that speaks so long is gathered before it is taken: nobody sees a few milliseconds, and the machine sleeps meanwhile
    // instead of waking for every frame. The 280 frames that the kernel keeps where it grants no more (CanSocket) are 14 ms of the shortest.
    private const int Gathering = 8;

    // A frame has its stamp before the kernel lets it be read; by then one that is younger may have been read from a neighbour.
    private static readonly FrameSpan Window = FrameSpan.FromMilliseconds(2);

    // How often controllers are asked for their state.
    private static readonly TimeSpan Asking = TimeSpan.FromSeconds(1);

    private readonly IKernel kernel;
    private readonly TimeProvider time;
    private readonly KernelPort[] ports;
    private readonly Bus[] buses;
    private readonly PollEntry[] entries;
    private readonly MessageRoom room = new();
    private readonly List<KernelInterface> changes = [];
    private long askedAt;
    private long takenAt;
    private bool isHolding;
    private bool isSpeaking;

    /// <summary>Ready-made parts, for a source that is tried without the system.</summary>
    internal KernelSource(IKernel kernel, IReadOnlyList<(Bus Bus, KernelInterface Link, ICanSocket Socket)> opened, TimeProvider time)
    {
        (this.kernel, this.time) = (kernel, time);
        buses = [.. opened.Select(each => each.Bus)];
        ports = [.. opened.Select((each, index) => new KernelPort((ushort)index, each.Bus.Name, each.Link, each.Socket, Problems))];
        entries = new PollEntry[ports.Length + 1];
        Name = string.Join(" + ", ports.Select(port => port.Name));
        askedAt = time.GetTimestamp();
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => buses;

    /// <inheritdoc/>
    public ProblemLog Problems { get; } = new();

    /// <inheritdoc/>
    public double? Progress => null;

    /// <inheritdoc/>
    public SourceClock Clock => SourceClock.Ours;

    /// <summary>What a person should know before the first frame: a controller that does not only listen, a kernel that keeps too little.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>What the interface of a bus says about itself, with all that the kernel had to drop up to now: that is one question to the kernel.</summary>
    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus)
    {
        ports[bus].CountLost();
        return ports[bus].Status;
    }

    /// <inheritdoc/>
    public ControllerState? StateOf(int bus) => ports[bus].State;

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        var now = Wait(cancellation.IsCancellationRequested);
        Listen(now);
        Take(now, out var until);
        foreach (var port in ports)
        {
            if (port.MustAsk)
            {
                kernel.Ask(port.Index);
            }
        }

        Give(batch, cancellation.IsCancellationRequested ? new FrameTime(long.MaxValue) : until);
        isSpeaking = (batch.Count > 0 || isHolding) && !batch.IsFull;
        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var port in ports)
        {
            port.Dispose();
        }

        kernel.Dispose();
    }

    private FrameTime Now => new((time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks * 100);

    private FrameTime Wait(bool isAtOnce)
    {
        entries[0] = new PollEntry(kernel.Descriptor);
        for (var i = 0; i < ports.Length; i++)
        {
            entries[i + 1] = new PollEntry(ports[i].Descriptor);
        }

        // What the caller did since counts: it is the time between two takings that the kernel must have room for.
        if (isSpeaking && !isAtOnce && Gathering - (int)time.GetElapsedTime(takenAt).TotalMilliseconds is > 0 and var rest)
        {
            kernel.Wait([], rest);
        }

        kernel.Wait(entries, isHolding || isAtOnce ? 0 : LongestWait);
        return Now;
    }

    // What the kernel says about the interfaces, by itself or because it was asked.
    private void Listen(FrameTime now)
    {
        if (time.GetElapsedTime(askedAt) >= Asking)
        {
            askedAt = time.GetTimestamp();
            foreach (var port in ports)
            {
                if (port.HasController)
                {
                    kernel.Ask(port.Index);
                }
            }
        }

        if (entries[0].Seen == 0)
        {
            return;
        }

        changes.Clear();
        kernel.Changes(changes);
        foreach (var told in changes)
        {
            foreach (var port in ports)
            {
                // One that came back has another number and the old name.
                if (told.Index == port.Index || (port.IsGone && told.IsCan && !told.IsGone && told.Name == port.Name))
                {
                    port.Learn(told, kernel, now);
                }
            }
        }
    }

    // Takes from every interface what has come; until is the latest time before which nothing can come any more.
    private void Take(FrameTime now, out FrameTime until)
    {
        until = new FrameTime(long.MaxValue);
        takenAt = time.GetTimestamp();
        foreach (var port in ports)
        {
            port.Take(room, now);

            // Behind what is here more may be waiting, unless the interface was emptied just now.
            var known = !port.IsDrained ? port.Tail : ports.Length > 1 ? now - Window : until;
            until = known < until ? known : until;
        }
    }

    private void Give(FrameBatch batch, FrameTime until)
    {
        // What was held back is older than the round that follows, unless the clock was set back: then it goes first.
        var isStuck = isHolding;
        while (!batch.IsFull && Earliest() is { } port && (port.Head <= until || isStuck))
        {
            port.Give(ref batch.Add());
            isStuck = isStuck && batch.Count == 0;
        }

        isHolding = Earliest() is not null;
    }

    private KernelPort? Earliest()
    {
        KernelPort? earliest = null;
        foreach (var port in ports)
        {
            if (port.HasFrames && (earliest is null || port.Head < earliest.Head))
            {
                earliest = port;
            }
        }

        return earliest;
    }
}
