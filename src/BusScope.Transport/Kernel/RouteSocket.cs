using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Transport.Kernel;

/// <summary>
/// The kernel's own line for questions about interfaces (netlink(7), NETLINK_ROUTE). It ends in the kernel: what is asked here
/// reaches no bus, and the one call that sends takes nothing but this kind of socket.
/// </summary>
internal sealed partial class RouteSocket : SafeHandleZeroOrMinusOneIsInvalid
{
    private const string Library = "libc";
    private const int NetlinkFamily = 16;

    // SOCK_RAW | SOCK_CLOEXEC.
    private const int RawType = 0x0008_0003;
    private const int RouteProtocol = 0;
    private const uint LinkGroup = 1;
    private readonly byte[] answer = new byte[64 * 1024];

    /// <summary>Made by the marshaller.</summary>
    public RouteSocket()
        : base(ownsHandle: true)
    {
    }

    /// <summary>The descriptor to wait on.</summary>
    public int Descriptor => (int)handle;

    /// <summary>Opens it; changes of interfaces are told without being asked for.</summary>
    /// <returns>Null where the system has no such thing.</returns>
    public static RouteSocket? Open()
    {
        var socket = Open(NetlinkFamily, RawType, RouteProtocol);
        var address = new Address(LinkGroup);
        if (!socket.IsInvalid && Bind(socket, in address, Unsafe.SizeOf<Address>()) == 0)
        {
            return socket;
        }

        socket.Dispose();
        return null;
    }

    /// <summary>Asks the kernel.</summary>
    /// <param name="request">A message of <see cref="LinkRequest"/>.</param>
    /// <returns>Whether it was taken.</returns>
    public bool Ask(ReadOnlySpan<byte> request) => Send(this, request, (nuint)request.Length, 0) == request.Length;

    /// <summary>Takes what has come, without waiting.</summary>
    /// <param name="found">Takes the interfaces in.</param>
    /// <returns>Null where nothing was there; else whether an answer is complete, and with which <see cref="Errno"/> it was refused.</returns>
    public (bool IsDone, int Error)? Read(ICollection<KernelInterface> found)
    {
        var length = Receive(this, answer, (nuint)answer.Length, KernelCalls.DontWait);
        if (length < 0 && Marshal.GetLastPInvokeError() == Errno.NoRoom)
        {
            // News were lost because there were too many: everything is asked for anew, and comes like news.
            Ask(LinkRequest.AskAll());
        }

        return length <= 0 ? null : LinkMessages.Read(answer.AsSpan(0, (int)Math.Min(length, answer.Length)), found);
    }

    /// <summary>Asks the kernel and waits for its answer.</summary>
    /// <param name="request">A message of <see cref="LinkRequest"/>.</param>
    /// <param name="found">Takes the interfaces in.</param>
    /// <returns>0, or the <see cref="Errno"/> of the refusal.</returns>
    public int Answer(ReadOnlySpan<byte> request, ICollection<KernelInterface> found)
    {
        const int patience = 2_000;
        if (!Ask(request))
        {
            return Marshal.GetLastPInvokeError();
        }

        Span<KernelCalls.PollEntry> entry = [new KernelCalls.PollEntry(Descriptor)];
        while (KernelCalls.Poll(entry, 1, patience) > 0)
        {
            if (Read(found) is { IsDone: true, Error: var error })
            {
                return error;
            }
        }

        return Errno.TryAgain;
    }

    /// <inheritdoc/>
    protected override bool ReleaseHandle() => KernelCalls.Close(handle) == 0;

    [LibraryImport(Library, EntryPoint = "socket", SetLastError = true)]
    private static partial RouteSocket Open(int family, int type, int protocol);

    [LibraryImport(Library, EntryPoint = "bind", SetLastError = true)]
    private static partial int Bind(RouteSocket socket, ref readonly Address address, int length);

    [LibraryImport(Library, EntryPoint = "send", SetLastError = true)]
    private static partial nint Send(RouteSocket socket, ReadOnlySpan<byte> bytes, nuint length, int flags);

    [LibraryImport(Library, EntryPoint = "recv", SetLastError = true)]
    private static partial nint Receive(RouteSocket socket, Span<byte> bytes, nuint length, int flags);

    // struct sockaddr_nl: family, padding, process, groups.
    [StructLayout(LayoutKind.Sequential)]
    private readonly struct Address(uint groups)
    {
        private readonly uint family = NetlinkFamily;
        private readonly uint process;
        private readonly uint groups = groups;
    }
}
