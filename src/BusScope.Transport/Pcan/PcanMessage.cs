using System.Buffers.Binary;
using BusScope.Frames;

namespace BusScope.Transport.Pcan;

/// <summary>From a message of the library to a frame.</summary>
internal static class PcanMessage
{
    // Error classes and details of the Linux kernel (include/uapi/linux/can/error.h), which error reports are held in here.
    private const uint ProtocolClass = 0x8;
    private const uint CounterClass = 0x200;
    private const int ViolationAt = 2;
    private const int SentErrorsAt = 6;
    private const int ReceivedErrorsAt = 7;

    /// <summary>Microseconds of the adapter's clock.</summary>
    /// <param name="time">What the library wrote.</param>
    /// <param name="isFlexible">Whether it is the time of the calls for CAN FD.</param>
    public static long Microseconds(ReadOnlySpan<byte> time, bool isFlexible) => isFlexible
        ? BinaryPrimitives.ReadInt64LittleEndian(time)
        : BinaryPrimitives.ReadUInt16LittleEndian(time[PcanLayout.MicrosecondsAt..])
            + (1000L * BinaryPrimitives.ReadUInt32LittleEndian(time))
            + (((long)BinaryPrimitives.ReadUInt16LittleEndian(time[PcanLayout.OverflowAt..]) << 32) * 1000);

    /// <summary>What kind of message it is.</summary>
    public static PcanMessageType TypeOf(ReadOnlySpan<byte> message) => (PcanMessageType)message[PcanLayout.TypeAt];

    /// <summary>Writes the frame that a message holds.</summary>
    /// <returns>False where no frame can have its length; nothing is written then.</returns>
    public static bool TryWrite(ReadOnlySpan<byte> message, FrameTime time, bool isFlexible, ref Frame frame)
    {
        var type = TypeOf(message);
        var id = BinaryPrimitives.ReadUInt32LittleEndian(message);
        int length = message[PcanLayout.LengthAt];
        if (isFlexible)
        {
            if (length >= PcanLayout.Lengths.Length)
            {
                return false;
            }

            length = PcanLayout.Lengths[length];
        }

        if (Has(type, PcanMessageType.ErrorFrame))
        {
            WriteError(message[PcanLayout.DataAt..], id, time, ref frame);
            return true;
        }

        var kinds = Kinds(type);
        if ((kinds & FrameKinds.FlexibleDataRate) == 0)
        {
            // A Classical CAN frame of the calls for CAN FD may say more than 8 and still have 8 bytes.
            length = isFlexible ? Math.Min(length, Payload.ClassicCapacity) : length;
            if (length > Payload.ClassicCapacity)
            {
                return false;
            }
        }

        var identifier = new CanId(id & CanId.LargestExtended, Has(type, PcanMessageType.Extended));
        if ((kinds & FrameKinds.Remote) != 0)
        {
            frame.SetClassic(time, 0, identifier, kinds, (byte)length, 0);
        }
        else
        {
            frame.Set(time, 0, identifier, kinds, message.Slice(PcanLayout.DataAt, length));
        }

        frame.Direction = Has(type, PcanMessageType.Echo) ? Direction.Sent : Direction.Received;
        return true;
    }

    /// <summary>Whether a type has a mark.</summary>
    public static bool Has(PcanMessageType type, PcanMessageType mark) => (type & mark) != 0;

    private static FrameKinds Kinds(PcanMessageType type) =>
        (Has(type, PcanMessageType.Remote) ? FrameKinds.Remote : FrameKinds.None)
        | (Has(type, PcanMessageType.FlexibleDataRate) ? FrameKinds.FlexibleDataRate : FrameKinds.None)
        | (Has(type, PcanMessageType.BitRateSwitch) ? FrameKinds.BitRateSwitch : FrameKinds.None)
        | (Has(type, PcanMessageType.ErrorStateIndicator) ? FrameKinds.ErrorStateIndicator : FrameKinds.None);

    // The content of an error frame is described in the maker's manual only, from memory: the identifier says which rule was broken
    // (1 bit, 2 form, 4 stuff, 8 other), the third byte is the receive error counter, the fourth the transmit error counter. The
    // first three are the kernel's codes of the same faults.
    private static void WriteError(ReadOnlySpan<byte> data, uint broken, FrameTime time, ref Frame frame)
    {
        Span<byte> details = stackalloc byte[Payload.ClassicCapacity];
        details.Clear();
        details[ViolationAt] = (byte)(broken & 7);
        details[SentErrorsAt] = data[3];
        details[ReceivedErrorsAt] = data[2];
        frame.Set(time, 0, new CanId(ProtocolClass | CounterClass, false), FrameKinds.ErrorReport, details);
        frame.Direction = Direction.Received;
    }
}
