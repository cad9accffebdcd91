using System.Buffers.Binary;
using BusScope.Frames;

namespace BusScope.Transport.Kernel;

/// <summary>When a frame came, as the kernel tells beside it (cmsg(3); Documentation/networking/timestamping.rst).</summary>
/// <param name="Software">When the kernel took it in, by the system's clock; never where not told.</param>
/// <param name="Hardware">When the adapter took it in, by the adapter's clock; never where it has none.</param>
internal readonly record struct KernelStamps(FrameTime Software, FrameTime Hardware)
{
    // struct cmsghdr: length with this header, level, type; data from byte 16, the next one on a multiple of 8.
    private const int HeaderSize = 16;
    private const int LevelAt = 8;
    private const int TypeAt = 12;

    // struct scm_timestamping: three struct timespec; the first is the software stamp, the last the raw hardware stamp.
    private const int TimeSize = 16;
    private const int HardwareAt = 2 * TimeSize;

    /// <summary>Neither.</summary>
    public static KernelStamps None => new(FrameTime.Never, FrameTime.Never);

    /// <summary>Reads control messages; what does not fit or is not known is passed over.</summary>
    public static KernelStamps Read(ReadOnlySpan<byte> bytes)
    {
        while (bytes.Length >= HeaderSize)
        {
            var length = BinaryPrimitives.ReadInt64LittleEndian(bytes);
            if (length < HeaderSize || length > bytes.Length)
            {
                break;
            }

            var data = bytes[HeaderSize..(int)length];
            if (BinaryPrimitives.ReadInt32LittleEndian(bytes[LevelAt..]) == KernelCalls.SocketLevel
                && BinaryPrimitives.ReadInt32LittleEndian(bytes[TypeAt..]) == KernelCalls.TimeStamping
                && data.Length >= HardwareAt + TimeSize)
            {
                return new KernelStamps(Time(data), Time(data[HardwareAt..]));
            }

            var next = ((int)length + 7) & ~7;
            bytes = next < bytes.Length ? bytes[next..] : [];
        }

        return None;
    }

    // A struct timespec of zeros is how the kernel says that there is no stamp.
    private static FrameTime Time(ReadOnlySpan<byte> bytes)
    {
        var seconds = BinaryPrimitives.ReadInt64LittleEndian(bytes);
        var nanoseconds = BinaryPrimitives.ReadInt64LittleEndian(bytes[sizeof(long)..]);
        return seconds == 0 && nanoseconds == 0 || seconds is < 0 or > long.MaxValue / FrameSpan.NanosecondsPerSecond - 1
            ? FrameTime.Never
            : new FrameTime((seconds * FrameSpan.NanosecondsPerSecond) + nanoseconds);
    }
}
