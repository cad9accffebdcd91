using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Adapters;

namespace BusScope.Transport.Pcan;

/// <summary>
/// An adapter behind the maker's library PCAN-Basic. It listens only: that is set before the channel goes on the bus, and checked
/// afterwards; without it the channel is not opened. An adapter that is pulled out is waited for, and opened again when it is
/// back. Used by one thread at a time.
/// </summary>
public sealed class PcanSource : IFrameSource
{
    private static readonly TimeSpan Patience = TimeSpan.FromMilliseconds(50);
    private static readonly TimeSpan AskEvery = TimeSpan.FromMilliseconds(100);
    private static readonly TimeSpan RetryEvery = TimeSpan.FromMilliseconds(500);

    private readonly PcanLibrary library;
    private readonly PcanAddress address;
    private readonly TimeProvider time;
    private readonly Bus[] buses;
    private readonly byte[] message = new byte[PcanLayout.LongestMessage];
    private readonly byte[] stamp = new byte[PcanLayout.TimeLength];
    private readonly ManualResetEvent never = new(false);
    private ReceiveEvent? arrival;
    private long? firstMicroseconds;
    private FrameTime firstTime;
    private long asked;
    private ControllerStatus status;

    private PcanSource(PcanLibrary library, PcanAddress address, TimeProvider time)
    {
        this.library = library;
        this.address = address;
        this.time = time;
        Name = $"pcan:{address.Name}";
        if (Connect() is { } fault)
        {
            never.Dispose();
            throw new SourceException($"{Name}: {fault}");
        }

        status = Status(ControllerState.Unknown) with { Since = FrameTime.Never };
        buses = [new Bus(address.Name) { BitRate = address.BitRate, DataBitRate = address.DataBitRate, Description = library.HardwareName(address.Channel) }];
        Ask();
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => buses;

    /// <inheritdoc/>
    public ProblemLog Problems { get; } = new();

    /// <inheritdoc/>
    public double? Progress => null;

    /// <summary>The adapter stamps the frames; its clock is laid beside ours when the first frame comes.</summary>
    public SourceClock Clock => SourceClock.Theirs;

    /// <summary>Loads the library and puts the channel on the bus, listening only.</summary>
    /// <param name="address">The channel and its bit rate.</param>
    /// <param name="libraryPath">Where the library is; null for where the system looks.</param>
    /// <param name="time">Where our own time comes from.</param>
    /// <exception cref="SourceException">It cannot be opened; the message says why and what to do.</exception>
    public static PcanSource Open(PcanAddress address, string? libraryPath, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(address);
        ArgumentNullException.ThrowIfNull(time);
        PcanLibrary library;
        try
        {
            library = PcanLibrary.Load(libraryPath ?? PcanLibrary.UsualName);
        }
        catch (SourceException e)
        {
            throw new SourceException($"pcan:{address.Name}: {e.Message}", e);
        }

        return new PcanSource(library, address, time);
    }

    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => status;

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        if (arrival is null)
        {
            WaitForReturn(cancellation);
            return SourceState.Idle;
        }

        Drain(batch);
        if (batch.Count == 0 && arrival is not null && !cancellation.IsCancellationRequested)
        {
            if (!arrival.Wait(Patience))
            {
                _ = never.WaitOne(Patience);
            }

            Drain(batch);
        }

        if (arrival is not null && time.GetElapsedTime(asked) >= AskEvery)
        {
            Ask();
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    /// <summary>Takes the channel off the bus.</summary>
    public void Dispose()
    {
        if (arrival is not null)
        {
            Disconnect();
        }

        never.Dispose();
    }

    // Null when the channel is on the bus, otherwise why not.
    private string? Connect()
    {
        Span<byte> on = stackalloc byte[sizeof(uint)];
        on.Clear();
        on[0] = 1;
        if (library.Set(address.Channel, PcanParameter.ListenOnly, on) is not PcanStatus.Ok and var refused)
        {
            return PcanWords.IsGone(refused) ? PcanWords.NotOpened(refused, library) : $"the adapter cannot be told to listen only, so it is not opened: {library.TextOf(refused)}";
        }

        var opened = address.FlexibleTiming is { } timing
            ? library.InitializeFlexible(address.Channel, timing)
            : library.Initialize(address.Channel, address.ClassicTiming ?? 0);
        if (opened != PcanStatus.Ok)
        {
            if (PcanWords.Has(opened, PcanStatus.Caution))
            {
                _ = library.Uninitialize(address.Channel);
            }

            return PcanWords.NotOpened(opened, library);
        }

        Span<byte> isOn = stackalloc byte[sizeof(uint)];
        isOn.Clear();
        if (library.Get(address.Channel, PcanParameter.ListenOnly, isOn) != PcanStatus.Ok || isOn[0] != 1)
        {
            _ = library.Uninitialize(address.Channel);
            return "the adapter does not listen only although it was told to, so it is not used: it would acknowledge frames";
        }

        // Without them there are frames all the same.
        _ = library.Set(address.Channel, PcanParameter.AllowErrorFrames, on);
        firstMicroseconds = null;
        try
        {
            arrival = ReceiveEvent.Of(library, address.Channel);
            return null;
        }
        catch (SourceException e)
        {
            _ = library.Uninitialize(address.Channel);
            return e.Message;
        }
    }

    private void Disconnect()
    {
        _ = library.Uninitialize(address.Channel);
        arrival?.Dispose();
        arrival = null;
    }

    private void Drain(FrameBatch batch)
    {
        var isFlexible = address.FlexibleTiming is not null;
        while (!batch.IsFull)
        {
            var read = library.Read(address.Channel, isFlexible, message, stamp);
            if (PcanWords.Has(read, PcanStatus.ReadTooLate) || PcanWords.Has(read, PcanStatus.QueueReadTooLate))
            {
                CountLost(batch);
            }

            if (PcanWords.IsGone(read))
            {
                Leave(batch);
                return;
            }

            if (PcanWords.Has(read, PcanStatus.QueueEmpty) || read != PcanStatus.Ok)
            {
                return;
            }

            Take(batch, isFlexible);
        }
    }

    private void Take(FrameBatch batch, bool isFlexible)
    {
        // What the adapter says about itself is asked for by another way.
        if (PcanMessage.Has(PcanMessage.TypeOf(message), PcanMessageType.Status))
        {
            return;
        }

        var at = TimeOf(PcanMessage.Microseconds(stamp, isFlexible));
        if (!PcanMessage.TryWrite(message, at, isFlexible, ref batch.Add()))
        {
            batch.TakeBack();
            var isNew = Problems.IsNew(AdapterProblems.BadRecord);
            Problems.Add(AdapterProblems.BadRecord, isNew ? new ProblemPlace(batch.FirstNumber + batch.Count, Bus: address.Name) : default, isNew ? $"length {message[PcanLayout.LengthAt]}" : null);
        }
    }

    // Nobody says from when on the adapter counts: its first time is taken for ours, and the others by their distance from it.
    private FrameTime TimeOf(long microseconds)
    {
        if (firstMicroseconds is not { } first)
        {
            firstMicroseconds = first = microseconds;
            firstTime = Now;
        }

        return firstTime + new FrameSpan((microseconds - first) * FrameSpan.NanosecondsPerMicrosecond);
    }

    private void Ask()
    {
        asked = time.GetTimestamp();
        var now = library.StatusOf(address.Channel);
        if (PcanWords.IsGone(now))
        {
            Leave(null);
            return;
        }

        Turn(PcanWords.Has(now, PcanStatus.BusOff) ? ControllerState.BusOff
            : PcanWords.Has(now, PcanStatus.BusPassive) ? ControllerState.ErrorPassive
            : PcanWords.Has(now, PcanStatus.BusWarning) || PcanWords.Has(now, PcanStatus.BusLight) ? ControllerState.ErrorWarning
            : ControllerState.ErrorActive);
    }

    private void CountLost(FrameBatch batch)
    {
        status = status with { LostFrames = status.LostFrames + 1 };
        Problems.Add(AdapterProblems.Overrun, Problems.IsNew(AdapterProblems.Overrun) ? new ProblemPlace(batch.FirstNumber + batch.Count, Bus: address.Name) : default);
    }

    private void Leave(FrameBatch? batch)
    {
        Problems.Add(AdapterProblems.Gone, new ProblemPlace(batch?.FirstNumber + batch?.Count, Bus: address.Name));
        Disconnect();
        Turn(ControllerState.Gone);
        asked = time.GetTimestamp();
    }

    private void WaitForReturn(CancellationToken cancellation)
    {
        if (time.GetElapsedTime(asked) < RetryEvery)
        {
            _ = WaitHandle.WaitAny([never, cancellation.WaitHandle], Patience);
            return;
        }

        asked = time.GetTimestamp();
        Span<byte> condition = stackalloc byte[sizeof(uint)];
        condition.Clear();
        if (library.Get(address.Channel, PcanParameter.ChannelCondition, condition) == PcanStatus.Ok && (condition[0] & PcanLayout.Available) != 0 && Connect() is null)
        {
            Ask();
        }
    }

    private void Turn(ControllerState state)
    {
        if (state != status.State)
        {
            status = status with { State = state, Since = Now, TimesBusOff = status.TimesBusOff + (state == ControllerState.BusOff ? 1 : 0) };
        }
    }

    private ControllerStatus Status(ControllerState state) => new(state) { IsListenOnly = true, BitRate = address.BitRate, DataBitRate = address.DataBitRate };

    private FrameTime Now => new((time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks * 100);
}
