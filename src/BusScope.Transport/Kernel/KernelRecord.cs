using System.Buffers.Binary;
using BusScope.Frames;
using BusScope.Transport.Records;

namespace BusScope.Transport.Kernel;

/// <summary>A record as the kernel gives it: struct can_frame of 16 bytes or struct canfd_frame of 72, the identifier word in the machine's own order.</summary>
internal static class KernelRecord
{
    // msg_flags of recvmsg(2): a process of this machine sent the frame (Documentation/networking/can.rst).
    private const int SentHere = 0x4;

    /// <summary>Writes the frame of a record.</summary>
    /// <param name="record">The bytes.</param>
    /// <param name="messageFlags">The flags that came with them.</param>
    /// <param name="time">When it came.</param>
    /// <param name="bus">Its bus.</param>
    /// <param name="frame">Where it is written.</param>
    /// <returns>Whether the record holds a frame that can be.</returns>
    public static bool TryRead(ReadOnlySpan<byte> record, int messageFlags, FrameTime time, ushort bus, ref Frame frame)
    {
        if (record.Length is not (RecordLayout.ClassicLength or RecordLayout.FlexibleLength))
        {
            return false;
        }

        var isFlexible = record.Length == RecordLayout.FlexibleLength;
        var word = BinaryPrimitives.ReadUInt32LittleEndian(record);
        int length = record[RecordLayout.LengthAt];
        if (length > (isFlexible ? Payload.Capacity : Payload.ClassicCapacity))
        {
            return false;
        }

        var kinds = (FrameKinds)(word >> RecordLayout.WordToKinds) & (FrameKinds.Remote | FrameKinds.ErrorReport);
        kinds |= isFlexible
            ? ((FrameKinds)record[RecordLayout.FlagsAt] & (FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator)) | FrameKinds.FlexibleDataRate
            : FrameKinds.None;
        var id = CanId.OfWord(word);
        if (isFlexible)
        {
            frame.Set(time, bus, id, kinds, record.Slice(RecordLayout.HeaderLength, length));
        }
        else
        {
            frame.SetClassic(time, bus, id, kinds, (byte)length, (word & RecordLayout.RemoteBit) != 0 ? 0 : BinaryPrimitives.ReadUInt64LittleEndian(record[RecordLayout.HeaderLength..]));
            if (length == Payload.ClassicCapacity && record[RecordLayout.RawCodeAt] is > Payload.ClassicCapacity and <= RecordLayout.LargestRawCode and var code)
            {
                frame.RawLengthCode = code;
            }
        }

        frame.Direction = (messageFlags & SentHere) != 0 ? Direction.Sent : Direction.Received;
        return true;
    }
}
