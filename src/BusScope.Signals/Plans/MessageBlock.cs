using System.Buffers.Binary;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Up to 256 frames of one message, time and payload side by side, gathered so that period, counter, checksum and every
/// signal can be computed as one loop over them instead of frame by frame.
/// </summary>
public sealed class MessageBlock
{
    /// <summary>The most rows of a block.</summary>
    public const int Capacity = 256;

    private readonly long[] times = new long[Capacity];
    private readonly byte[] rows;

    /// <summary>An empty block.</summary>
    /// <param name="stride">Bytes of a row: 8, or 64 for messages of more than eight bytes.</param>
    public MessageBlock(int stride)
    {
        Stride = stride;
        rows = new byte[Capacity * stride];
    }

    /// <summary>Bytes of a row, 8 or 64; payload bytes past the frame's length are zero.</summary>
    public int Stride { get; }

    /// <summary>Rows held.</summary>
    public int Count { get; private set; }

    /// <summary>Whether the block must be scanned and cleared before the next row.</summary>
    public bool IsFull => Count == Capacity;

    /// <summary>The receive times in nanoseconds, in order of arrival.</summary>
    public ReadOnlySpan<long> Times => times.AsSpan(0, Count);

    /// <summary>The payloads, <see cref="Stride"/> bytes each.</summary>
    public ReadOnlySpan<byte> Rows => rows.AsSpan(0, Count * Stride);

    /// <summary>Adds a frame. Not when full.</summary>
    public void Add(in Frame frame)
    {
        times[Count] = frame.Time.Nanoseconds;
        var row = rows.AsSpan(Count * Stride, Stride);
        if (row.Length == sizeof(ulong))
        {
            BinaryPrimitives.WriteUInt64LittleEndian(row, frame.FirstEight);
        }
        else
        {
            // The frame's room is undefined behind its payload.
            frame.Data.CopyTo(row);
            row[frame.Length..].Clear();
        }

        Count++;
    }

    /// <summary>Empties the block.</summary>
    public void Clear() => Count = 0;
}
