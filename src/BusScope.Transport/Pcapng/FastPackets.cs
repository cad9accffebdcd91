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
    public static FrameTime? Take(ByteWindow window, FastInterface[] interfaces, FrameBatch batch)
    {
        if (!BitConverter.IsLittleEndian)
        {
            return null;
        }

        var bytes = window.Bytes;
        var frames = batch.Free;
        var count = 0;
        do
        {
            var classic = TakeClassic(bytes, interfaces, frames[count..]);
            bytes = bytes[(classic * ClassicBlock)..];
            count += classic;
        }
        while (count < frames.Length && TakeFlexible(ref bytes, interfaces, ref frames[count]) && ++count < frames.Length);

        batch.Added(count);
        window.Start = window.End - bytes.Length;
        return count > 0 ? frames[count - 1].Time : null;
    }

    // A run of blocks of one length. Calls nothing, so that all it needs can stay in registers.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static int TakeClassic(ReadOnlySpan<byte> bytes, ReadOnlySpan<FastInterface> interfaces, Span<Frame> frames)
    {
        var blocks = MemoryMarshal.Cast<byte, PlainBlock>(bytes);
        var most = Math.Min(blocks.Length, frames.Length);
        for (var i = 0; i < most; i++)
        {
            ref readonly var block = ref blocks[i];
            if (block.Start != ClassicStart || block.Lengths != ClassicLengths || block.Head > Payload.ClassicCapacity || block.Tail != ClassicBlock || block.Interface >= (uint)interfaces.Length)
            {
                return i;
            }

            ref readonly var from = ref interfaces[(int)block.Interface];
            var ticks = BitOperations.RotateLeft(block.Time, 32);
            var word = BinaryPrimitives.ReverseEndianness(block.Word);
            if (ticks >= from.End || (word & RecordLayout.RemoteBit) != 0 || IsTooLarge(word))
            {
                return i;
            }

            frames[i].SetRecord(from.At(ticks), from.Bus, word, (byte)block.Head, block.Data);
        }

        return most;
    }

    // One block with a CAN FD frame.
    private static bool TakeFlexible(ref ReadOnlySpan<byte> bytes, ReadOnlySpan<FastInterface> interfaces, ref Frame frame)
    {
        if (bytes.Length < FlexibleBlock)
        {
            return false;
        }

        ref readonly var block = ref MemoryMarshal.AsRef<PlainBlock>(bytes);
        if (block.Start != FlexibleStart || block.Lengths != FlexibleLengths || block.Interface >= (uint)interfaces.Length
            || BinaryPrimitives.ReadUInt32LittleEndian(bytes[(FlexibleBlock - PcapngFormat.BlockTail)..]) != FlexibleBlock)
        {
            return false;
        }

        ref readonly var from = ref interfaces[(int)block.Interface];
        var ticks = BitOperations.RotateLeft(block.Time, 32);
        var word = BinaryPrimitives.ReverseEndianness(block.Word);
        if (ticks >= from.End || (word & (RecordLayout.RemoteBit | RecordLayout.ErrorBit)) != 0 || IsTooLarge(word) || !IsFlexible(block.Head))
        {
            return false;
        }

        frame.Set(from.At(ticks), from.Bus, CanId.OfWord(word), (FrameKinds)(block.Head >> 8) | FrameKinds.FlexibleDataRate, bytes.Slice(PayloadAt, (byte)block.Head));
        bytes = bytes[FlexibleBlock..];
        return true;
    }

    // Without any mark, but larger than 11 bits: one comparison, because numbers below that range wrap around.
    private static bool IsTooLarge(uint word) => word - (CanId.LargestBase + 1) < RecordLayout.ErrorBit - (CanId.LargestBase + 1);

    // Length, flags, and zero in the reserved bytes.
    private static bool IsFlexible(uint head) =>
        head >> 8 <= RecordLayout.FlexibleFlags && (byte)head is <= 8 or 12 or 16 or 20 or 24 or 32 or 48 or 64;

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
