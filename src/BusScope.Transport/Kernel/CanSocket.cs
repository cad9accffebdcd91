using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;
using static BusScope.Transport.Kernel.KernelCalls;

namespace BusScope.Transport.Kernel;

/// <summary>A socket of the kernel that receives every frame of one CAN interface (Documentation/networking/can.rst). It has no way to send.</summary>
internal sealed class CanSocket : SafeHandleZeroOrMinusOneIsInvalid, ICanSocket
{
    /// <summary>Bytes of the kernel's memory that a waiting frame takes (seen on Linux 6.1: 212,992 bytes keep some 280 frames).</summary>
    public const int RoomOfFrame = 768;

    /// <summary>Room for a second of a bus at full load: 20,000 frames, for at 1 Mbit/s one without payload takes 47 bits.</summary>
    public const int WantedRoom = 20_000 * RoomOfFrame;

    // All error classes: CAN_ERR_MASK.
    private const int AllErrors = 0x1FFF_FFFF;

    // SOF_TIMESTAMPING_RX_HARDWARE | RX_SOFTWARE | SOFTWARE | RAW_HARDWARE.
    private const int BothStamps = 0x5C;

    private const int FigureCount = 9;
    private const int LostFigure = 8;
    private readonly uint[] figures = new uint[FigureCount];

    /// <summary>Made by the marshaller.</summary>
    public CanSocket()
        : base(ownsHandle: true)
    {
    }

    /// <summary>Bytes of the kernel's memory for frames that wait to be read.</summary>
    public int Room { get; private set; }

    /// <inheritdoc/>
    public int Descriptor => (int)handle;

    /// <inheritdoc/>
    public long Lost
    {
        get
        {
            var length = FigureCount * sizeof(uint);
            return GetOption(this, SocketLevel, MemoryFigures, figures, ref length) == 0 && length == FigureCount * sizeof(uint) ? figures[LostFigure] : 0;
        }
    }

    /// <summary>Opens a socket on an interface.</summary>
    /// <param name="interfaceIndex">The interface's number.</param>
    /// <param name="error">Why it could not be opened: an <see cref="Errno"/>; 0 when it is open.</param>
    /// <returns>The socket, or null.</returns>
    public static CanSocket? Open(int interfaceIndex, out int error)
    {
        var socket = OpenCan(CanFamily, RawType, RawProtocol);
        if (socket.IsInvalid)
        {
            error = Marshal.GetLastPInvokeError();
            socket.Dispose();
            return null;
        }

        // An old kernel that does not know CAN FD or hardware stamps gives the rest all the same.
        _ = socket.Set(RawLevel, FlexibleFrames, 1);
        _ = socket.Set(RawLevel, ErrorFilter, AllErrors);
        _ = socket.Set(SocketLevel, TimeStamping, BothStamps);

        // The kernel doubles what it is asked for, and grants more than its limit only to who may administer the network.
        _ = socket.Set(SocketLevel, ReceiveRoomForced, WantedRoom / 2) || socket.Set(SocketLevel, ReceiveRoom, WantedRoom / 2);
        var length = sizeof(uint);
        Span<uint> room = [0];
        socket.Room = GetOption(socket, SocketLevel, ReceiveRoom, room, ref length) == 0 ? (int)room[0] : 0;

        var address = new CanAddress(interfaceIndex);
        error = Bind(socket, in address, Unsafe.SizeOf<CanAddress>()) == 0 ? 0 : Marshal.GetLastPInvokeError();
        if (error == 0)
        {
            return socket;
        }

        socket.Dispose();
        return null;
    }

    /// <inheritdoc/>
    public int Receive(MessageRoom room, int count)
    {
        var received = KernelCalls.Receive(this, ref room.Prepare(), (uint)Math.Min(count, MessageRoom.Capacity), DontWait, 0);
        return received >= 0 ? received : -Marshal.GetLastPInvokeError();
    }

    /// <inheritdoc/>
    protected override bool ReleaseHandle() => KernelCalls.Close(handle) == 0;

    private bool Set(int level, int name, int value) => SetOption(this, level, name, value, sizeof(int)) == 0;
}
