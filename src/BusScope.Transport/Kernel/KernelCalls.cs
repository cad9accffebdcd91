using System.Runtime.InteropServices;

namespace BusScope.Transport.Kernel;

/// <summary>
/// The system calls that receive from a CAN interface (Linux: socket(7), packet layouts in include/uapi/linux/can.h). What would
/// send on one is not declared, so it cannot be called.
/// </summary>
internal static partial class KernelCalls
{
    private const string Library = "libc";

    /// <summary>A CAN socket of the kernel that can only be received from.</summary>
    [LibraryImport(Library, EntryPoint = "socket", SetLastError = true)]
    public static partial CanSocket OpenCan(int family, int type, int protocol);

    /// <summary>Ties the socket to an interface.</summary>
    [LibraryImport(Library, EntryPoint = "bind", SetLastError = true)]
    public static partial int Bind(CanSocket socket, ref readonly CanAddress address, int length);

    /// <summary>Sets an option.</summary>
    [LibraryImport(Library, EntryPoint = "setsockopt", SetLastError = true)]
    public static partial int SetOption(CanSocket socket, int level, int name, in int value, int length);

    /// <summary>Reads an option of several 32-bit numbers.</summary>
    [LibraryImport(Library, EntryPoint = "getsockopt", SetLastError = true)]
    public static partial int GetOption(CanSocket socket, int level, int name, Span<uint> value, ref int length);

    /// <summary>Receives many messages at once.</summary>
    [LibraryImport(Library, EntryPoint = "recvmmsg", SetLastError = true)]
    public static partial int Receive(CanSocket socket, ref byte headers, uint count, int flags, nint timeout);

    /// <summary>Waits until one of several has something to give.</summary>
    [LibraryImport(Library, EntryPoint = "poll", SetLastError = true)]
    public static partial int Poll(Span<PollEntry> entries, nuint count, int milliseconds);

    /// <summary>Closes a descriptor.</summary>
    [LibraryImport(Library, EntryPoint = "close")]
    public static partial int Close(nint descriptor);

    /// <summary>struct sockaddr_can (24 bytes): the family and the interface; the rest is for other protocols.</summary>
    [StructLayout(LayoutKind.Sequential, Size = 24)]
    public readonly struct CanAddress(int interfaceIndex)
    {
        /// <summary>AF_CAN in the lower half.</summary>
        public readonly int Family = CanFamily;

        /// <summary>The interface's number.</summary>
        public readonly int Interface = interfaceIndex;
    }

    /// <summary>struct pollfd.</summary>
    [StructLayout(LayoutKind.Sequential)]
    public struct PollEntry(int descriptor)
    {
        /// <summary>What to wait for.</summary>
        public readonly int Descriptor = descriptor;

        /// <summary>POLLIN.</summary>
        public readonly short Awaited = Readable;

        /// <summary>What came.</summary>
        public short Seen;
    }

    /// <summary>AF_CAN.</summary>
    public const int CanFamily = 29;

    /// <summary>SOCK_RAW | SOCK_CLOEXEC.</summary>
    public const int RawType = 0x0008_0003;

    /// <summary>CAN_RAW.</summary>
    public const int RawProtocol = 1;

    /// <summary>SOL_SOCKET.</summary>
    public const int SocketLevel = 1;

    /// <summary>SOL_CAN_RAW.</summary>
    public const int RawLevel = 101;

    /// <summary>CAN_RAW_ERR_FILTER.</summary>
    public const int ErrorFilter = 2;

    /// <summary>CAN_RAW_FD_FRAMES.</summary>
    public const int FlexibleFrames = 5;

    /// <summary>SO_RCVBUF.</summary>
    public const int ReceiveRoom = 8;

    /// <summary>SO_RCVBUFFORCE: the same past the system's limit, for who may administer the network.</summary>
    public const int ReceiveRoomForced = 33;

    /// <summary>SO_TIMESTAMPING.</summary>
    public const int TimeStamping = 37;

    /// <summary>SO_MEMINFO: nine 32-bit numbers (include/uapi/linux/sock_diag.h); the last is how many messages the socket lost.</summary>
    public const int MemoryFigures = 55;

    /// <summary>POLLIN.</summary>
    public const short Readable = 1;

    /// <summary>MSG_DONTWAIT.</summary>
    public const int DontWait = 0x40;
}
