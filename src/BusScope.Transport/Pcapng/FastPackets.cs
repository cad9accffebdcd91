using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Transport.Input;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcapng;

/// <summary>
/// The fast way through runs of plain packet blocks: little-endian, without options, with a whole Classical CAN or CAN FD data
/// frame or error report in it. It takes nothing that has any oddity; those are left to the exact way, block by block.
/// </summary>
internal static class FastPackets
{
    private const int ClassicBlock = 48;
    private const int FlexibleBlock = 104;
    private const int PayloadAt = 36;

    // Two numbers that stand beside each other, compared at once.
    private const ulong ClassicStart = ((ulong)ClassicBlock << 32) | BlockType.EnhancedPacket;
    private const ulong FlexibleStart = ((ulong)FlexibleBlock << 32) | BlockType.EnhancedPacket;
    private const ulong ClassicLengths = ((ulong)RecordLayout.ClassicLength << 32) | RecordLayout.ClassicLength;
    private const ulong FlexibleLengths = ((ulong)RecordLayout.FlexibleLength << 32) | RecordLayout.FlexibleLength;

    /// <summary>Takes blocks from the window into the batch until the batch is full or a block is not a plain one.</summary>
    /// <returns>The time of the last frame taken, or null when there was none.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static FrameTime? Take(ByteWindow window, FastInterface[] interfaces, FrameBatch batch)
    {
        if (!BitConverter.IsLittleEndian)
        {
            return null;
        }

        var last = default(FrameTime);
        var bytes = window.Bytes;
        var frames = batch.Free;
        var count = 0;
        while (count < frames.Length && bytes.Length >= ClassicBlock)
        {
            ref readonly var block = ref MemoryMarshal.AsRef<PlainBlock>(bytes);
            if (block.Interface >= (uint)interfaces.Length)
            {
                break;
            }

            ref readonly var from = ref interfaces[block.Interface];
            var ticks = BitOperations.RotateLeft(block.Time, 32);
            var word = BinaryPrimitives.ReverseEndianness(block.Word);
            if (ticks >= from.End || (word & RecordLayout.RemoteBit) != 0 || IsTooLarge(word))
            {
                break;
            }

            var time = new FrameTime(((long)ticks * from.Factor) + from.Offset);
            var id = CanId.OfWord(word);
            var kinds = (FrameKinds)(word >> RecordLayout.WordToKinds) & FrameKinds.ErrorReport;
            if (block is { Start: ClassicStart, Lengths: ClassicLengths, Head: <= Payload.ClassicCapacity, Tail: ClassicBlock })
            {
                frames[count].SetClassic(time, from.Bus, id, kinds, (byte)block.Head, block.Data);
                bytes = bytes[ClassicBlock..];
            }
            else if (block is { Start: FlexibleStart, Lengths: FlexibleLengths } && bytes.Length >= FlexibleBlock && IsFlexible(block.Head, kinds)
                && BinaryPrimitives.ReadUInt32LittleEndian(bytes[(FlexibleBlock - PcapngFormat.BlockTail)..]) == FlexibleBlock)
            {
                kinds = (FrameKinds)(block.Head >> 8) | FrameKinds.FlexibleDataRate;
                frames[count].Set(time, from.Bus, id, kinds, bytes.Slice(PayloadAt, (byte)block.Head));
                bytes = bytes[FlexibleBlock..];
            }
            else
            {
                break;
            }

            last = time;
            count++;
        }

        batch.Added(count);
        window.Start = window.End - bytes.Length;
        return count > 0 ? last : null;
    }

    // Without any mark, but larger than 11 bits: one comparison, because numbers below that range wrap around.
    private static bool IsTooLarge(uint word) => word - (CanId.LargestBase + 1) < RecordLayout.ErrorBit - (CanId.LargestBase + 1);

    // Length, flags, and zero in the reserved bytes.
    private static bool IsFlexible(uint head, FrameKinds kinds) =>
        head >> 8 <= RecordLayout.FlexibleFlags && (byte)head is <= 8 or 12 or 16 or 20 or 24 or 32 or 48 or 64 && kinds == FrameKinds.None;

    /// <summary>An enhanced packet block with a record of a Classical CAN frame, as it stands in the file.</summary>
    [StructLayout(LayoutKind.Sequential, Pack = 4)]
    private readonly struct PlainBlock
    {
        // Type of the block, then its length above.
        public readonly ulong Start;
        public readonly uint Interface;

        // The upper half first.
        public readonly ulong Time;

        // Bytes captured, then the bytes that there were above.
        public readonly ulong Lengths;

        // The identifier word, big-endian.
        public readonly uint Word;

        // Payload length, flags, reserved, raw length code, from the lowest byte on.
        public readonly uint Head;
        public readonly ulong Data;
        public readonly uint Tail;
    }
}
