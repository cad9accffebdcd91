using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Adapters;

namespace BusScope.Transport.Kernel;

/// <summary>One interface of a <see cref="KernelSource"/>: its socket, the frames taken from it and not yet given, and what is known of it.</summary>
internal sealed class KernelPort(ushort bus, string busName, KernelInterface link, ICanSocket socket, ProblemLog problems) : IDisposable
{
    // Room for a batch, and for as much again that waits for the neighbours.
    private readonly Frame[] ahead = new Frame[2 * FrameBatch.Capacity];
    private readonly HardwareStamps stamps = new();
    private KernelInterface link = link;
    private ICanSocket? socket = socket;
    private int next;
    private int count;
    private long lost;
    private long overrunsAtOpening = link.Overruns;
    private ControllerState state = StateOf(link);
    private FrameTime since = FrameTime.Never;
    private int? transmitErrors = link.TransmitErrors;
    private int? receiveErrors = link.ReceiveErrors;
    private long lostOfSocket;
    private ControllerStatus? status;

    /// <summary>The interface's name.</summary>
    public string Name => link.Name;

    /// <summary>The interface's number; another one after it was unplugged and plugged in again.</summary>
    public int Index => link.Index;

    /// <summary>Its state.</summary>
    public ControllerState State => state;

    /// <summary>Whether the interface is not there.</summary>
    public bool IsGone => state == ControllerState.Gone;

    /// <summary>Whether the kernel shall be asked how the interface stands.</summary>
    public bool MustAsk { get; private set; }

    /// <summary>The descriptor to wait on; -1, which poll(2) passes over, while the interface is gone or no room is left here.</summary>
    public int Descriptor => IsGone || count - next == ahead.Length ? -1 : socket?.Descriptor ?? -1;

    /// <summary>Whether it is a controller that can be asked for its state.</summary>
    public bool HasController => link.IsController && !IsGone;

    /// <summary>Whether frames wait here to be given.</summary>
    public bool HasFrames => next < count;

    /// <summary>Whether the latest taking left nothing behind in the kernel.</summary>
    public bool IsDrained { get; private set; } = true;

    /// <summary>The time of the next frame to be given.</summary>
    public FrameTime Head => ahead[next].Time;

    /// <summary>The time of the last frame taken.</summary>
    public FrameTime Tail => ahead[count - 1].Time;

    /// <summary>How it stands; the same object while nothing changes.</summary>
    public ControllerStatus Status => status ??= new ControllerStatus(state)
    {
        Since = since,
        TransmitErrors = transmitErrors,
        ReceiveErrors = receiveErrors,
        IsListenOnly = link.IsListenOnly,
        BitRate = link.BitRate,
        DataBitRate = link.DataBitRate,
        LostFrames = lost + Overruns,
        TimesBusOff = link.TimesBusOff,
    };

    private long Overruns => Math.Max(0, link.Overruns - overrunsAtOpening);

    /// <summary>Takes from the kernel what has come, as far as there is room, behind what waits here already.</summary>
    /// <param name="room">Where it passes through.</param>
    /// <param name="now">The time of the system, for frames without a stamp and for what happens to the interface.</param>
    public void Take(MessageRoom room, FrameTime now)
    {
        Array.Copy(ahead, next, ahead, 0, count - next);
        (next, count) = (0, count - next);
        IsDrained = true;
        while (socket is not null && ahead.Length - count is > 0 and var free)
        {
            var wanted = Math.Min(free, MessageRoom.Capacity);
            var received = socket.Receive(room, wanted);
            if (received < 0)
            {
                // The interface's news comes once, before the frames that the kernel has already; behind them there is nothing.
                if (IsNews(-received, now))
                {
                    continue;
                }

                break;
            }

            for (var i = 0; i < received; i++)
            {
                Add(room, i, now);
            }

            if (received < wanted)
            {
                break;
            }
        }

        IsDrained = count < ahead.Length;
        if (IsGone && IsDrained)
        {
            Close();
        }
    }

    /// <summary>Gives the next frame.</summary>
    public void Give(ref Frame frame) => frame = ahead[next++];

    /// <summary>Looks whether the kernel had to drop frames.</summary>
    public void CountLost()
    {
        if (socket is null || socket.Lost is var now && now <= lostOfSocket)
        {
            return;
        }

        problems.Add(AdapterProblems.Lost, Place, problems.IsNew(AdapterProblems.Lost) ? Name : null, now - lostOfSocket);
        lost += now - lostOfSocket;
        lostOfSocket = now;
        status = null;
    }

    /// <summary>Takes in what the kernel says of the interface.</summary>
    /// <param name="told">The interface, by this port's number or, when it came back, by its name.</param>
    /// <param name="kernel">Opens it again.</param>
    /// <param name="now">The time of the system.</param>
    public void Learn(KernelInterface told, IKernel kernel, FrameTime now)
    {
        MustAsk = false;
        if (told.IsGone)
        {
            Become(ControllerState.Gone, now);
            return;
        }

        if (IsGone)
        {
            if (kernel.Open(told.Index, out _) is not { } opened)
            {
                return;
            }

            Close();
            (socket, lostOfSocket, overrunsAtOpening) = (opened, 0, told.Overruns);
        }

        var before = Overruns;
        link = told;
        status = null;
        if (Overruns > before)
        {
            problems.Add(AdapterProblems.Overrun, Place, problems.IsNew(AdapterProblems.Overrun) ? Name : null, Overruns - before);
        }

        (transmitErrors, receiveErrors) = (told.TransmitErrors ?? transmitErrors, told.ReceiveErrors ?? receiveErrors);
        Become(StateOf(told), now);
    }

    /// <inheritdoc/>
    public void Dispose() => socket?.Dispose();

    private static ControllerState StateOf(KernelInterface link) => link.IsUp ? link.State ?? ControllerState.Unknown : ControllerState.Down;

    private ProblemPlace Place => new(Bus: busName);

    private void Add(MessageRoom room, int index, FrameTime now)
    {
        var told = KernelStamps.Read(room.Control(index));
        var time = stamps.Map(told.Software.IsKnown ? told.Software : now, told.Hardware);
        ref var frame = ref ahead[count];
        if (!KernelRecord.TryRead(room.Record(index), room.Flags(index), time, bus, ref frame))
        {
            problems.Add(AdapterProblems.BadRecord, Place);
            return;
        }

        count++;

        if (frame.IsErrorReport)
        {
            Learn(ErrorReport.Read(frame), time);
        }
    }

    private void Learn(in ErrorReport report, FrameTime at)
    {
        (transmitErrors, receiveErrors) = (report.TransmitErrors ?? transmitErrors, report.ReceiveErrors ?? receiveErrors);
        status = null;
        if (report.State is { } told)
        {
            Become(told, at);
        }
    }

    // Whether there may be frames behind what the kernel had to say.
    private bool IsNews(int error, FrameTime now)
    {
        switch (error)
        {
            case Errno.NetworkDown:
                // It may be on again since: the kernel knows.
                MustAsk = true;
                return true;
            case Errno.NoDevice:
                Become(ControllerState.Gone, now);
                return true;
            default:
                return error == Errno.Interrupted;
        }
    }

    private void Close()
    {
        CountLost();
        socket?.Dispose();
        socket = null;
    }

    private void Become(ControllerState told, FrameTime now)
    {
        if (told == state)
        {
            return;
        }

        (state, since, status) = (told, now, null);
        if (told is ControllerState.Down or ControllerState.Gone)
        {
            problems.Add(told == ControllerState.Down ? AdapterProblems.Down : AdapterProblems.Gone, Place, Name);
        }
    }
}
