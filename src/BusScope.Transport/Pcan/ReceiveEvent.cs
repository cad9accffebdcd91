using System.Buffers.Binary;
using System.Runtime.InteropServices;
using BusScope.Frames;

namespace BusScope.Transport.Pcan;

/// <summary>
/// How a channel says that a message has come, so that nobody needs to ask over and over: on Linux a file descriptor that becomes
/// readable, which the library gives; on Windows an event of our own, which the library sets (PCAN_RECEIVE_EVENT).
/// </summary>
internal sealed class ReceiveEvent : IDisposable
{
    private const short Readable = 0x1; // POLLIN, poll.h

    private readonly AutoResetEvent? signal;
    private readonly int descriptor;

    private ReceiveEvent(int descriptor, AutoResetEvent? signal) => (this.descriptor, this.signal) = (descriptor, signal);

    /// <summary>Asks the library for it.</summary>
    /// <exception cref="SourceException">It gives none.</exception>
    public static ReceiveEvent Of(PcanLibrary library, ushort channel)
    {
        Span<byte> value = stackalloc byte[nint.Size];
        PcanStatus status;
        if (OperatingSystem.IsWindows())
        {
            var signal = new AutoResetEvent(false);
            MemoryMarshal.Write(value, signal.SafeWaitHandle.DangerousGetHandle());
            status = library.Set(channel, PcanParameter.ReceiveEvent, value);
            if (status == PcanStatus.Ok)
            {
                return new ReceiveEvent(-1, signal);
            }

            signal.Dispose();
        }
        else
        {
            status = library.Get(channel, PcanParameter.ReceiveEvent, value[..sizeof(int)]);
            if (status == PcanStatus.Ok)
            {
                return new ReceiveEvent(BinaryPrimitives.ReadInt32LittleEndian(value), null);
            }
        }

        throw new SourceException($"its library does not say when frames come: {library.TextOf(status)}");
    }

    /// <summary>Waits until a message has come, or the time is over.</summary>
    /// <returns>False where it cannot wait, as for an adapter that is being pulled out.</returns>
    public bool Wait(TimeSpan patience)
    {
        if (signal is not null)
        {
            _ = signal.WaitOne(patience);
            return true;
        }

        var asked = new PollDescriptor { Descriptor = descriptor, Events = Readable };
        return Poll(ref asked, 1, (int)patience.TotalMilliseconds) >= 0 && (asked.Returned & ~Readable) == 0;
    }

    /// <inheritdoc/>
    public void Dispose() => signal?.Dispose();

    [DllImport("libc", EntryPoint = "poll")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Poll(ref PollDescriptor descriptors, nuint count, int milliseconds);

    // struct pollfd, poll.h.
    [StructLayout(LayoutKind.Sequential)]
    private struct PollDescriptor
    {
        public int Descriptor;
        public short Events;
        public short Returned;
    }
}
