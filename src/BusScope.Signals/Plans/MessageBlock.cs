using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Up to 512 frames of one message, time and payload side by side, gathered so that period, counter, checksum and every
/// signal can be computed as one loop over them instead of frame by frame.
/// </summary>
public sealed class MessageBlock
{
    /// <summary>The most rows of a block.</summary>
    public const int Capacity = 512;

    private long[] times = new long[Capacity];
    private byte[] lengths = new byte[Capacity];
    private byte[] rows;
    private long[] numbers;
    private BytePlanes? planes;
    private bool arePlanesFilled;

    /// <summary>An empty block.</summary>
    /// <param name="stride">Bytes of a row: 8, or 64 for messages of more than eight bytes.</param>
    /// <param name="keepsNumbers">Whether the numbers of the frames are kept.</param>
    public MessageBlock(int stride, bool keepsNumbers = false)
    {
        numbers = keepsNumbers ? new long[Capacity] : [];
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

    /// <summary>The payload lengths in bytes.</summary>
    public ReadOnlySpan<byte> Lengths => lengths.AsSpan(0, Count);

    /// <summary>The payloads, <see cref="Stride"/> bytes each.</summary>
    public ReadOnlySpan<byte> Rows => rows.AsSpan(0, Count * Stride);

    /// <summary>The payloads of short rows, byte by byte.</summary>
    internal BytePlanes Planes
    {
        get
        {
            planes ??= new BytePlanes();
            if (!arePlanesFilled)
            {
                planes.Fill(Rows);
                arePlanesFilled = true;
            }

            return planes;
        }
    }

    /// <summary>One payload, as long as it came.</summary>
    public ReadOnlySpan<byte> Payload(int row) => rows.AsSpan(row * Stride, lengths[row]);

    /// <summary>The number of each frame in its session, from 1; empty where nobody asked.</summary>
    public ReadOnlySpan<long> Numbers => numbers.AsSpan(0, Math.Min(Count, numbers.Length));

    /// <summary>Adds a data frame of at most <see cref="Stride"/> bytes. Not when full.</summary>
    /// <param name="frame">The frame.</param>
    /// <param name="number">Its number in the session, where numbers are kept.</param>
    public void Add(in Frame frame, long number = 0)
    {
        arePlanesFilled = false;
        var row = Count;
        if (numbers.Length > 0)
        {
            numbers[row] = number;
        }

        times[row] = frame.Time.Nanoseconds;
        lengths[row] = frame.Length;
        if (Stride == Frames.Payload.ClassicCapacity)
        {
            BinaryPrimitives.WriteUInt64LittleEndian(rows.AsSpan(row * Frames.Payload.ClassicCapacity), frame.FirstEight);
        }
        else
        {
            // The frame's room is undefined behind its payload.
            var room = rows.AsSpan(row * Stride, Stride);
            frame.Data.CopyTo(room);
            room[frame.Length..].Clear();
        }

        Count = row + 1;
    }

    /// <summary>Fills an empty block of short rows with frames that were gathered elsewhere.</summary>
    /// <param name="gathered">At most <see cref="Capacity"/>.</param>
    /// <param name="length">The payload length of all of them, 0 to 8.</param>
    /// <param name="gatheredNumbers">The number of each, where numbers are kept.</param>
    public void Fill(ReadOnlySpan<GatheredRow> gathered, byte length, ReadOnlySpan<long> gatheredNumbers = default)
    {
        arePlanesFilled = false;
        gatheredNumbers.CopyTo(numbers);

        // Two at once, then the last by itself, whether or not it has a partner.
        var pairs = MemoryMarshal.Cast<GatheredRow, (Vector128<byte> First, Vector128<byte> Second)>(gathered);
        var toTimes = MemoryMarshal.Cast<long, Vector128<byte>>(times.AsSpan());
        var toRows = MemoryMarshal.Cast<byte, Vector128<byte>>(rows.AsSpan());
        for (var i = 0; i < pairs.Length && i < toTimes.Length && i < toRows.Length; i++)
        {
            ref readonly var pair = ref pairs[i];
            toTimes[i] = Interleaving.LowerEights(pair.First, pair.Second);
            toRows[i] = Interleaving.UpperEights(pair.First, pair.Second);
        }

        if (!gathered.IsEmpty)
        {
            times[gathered.Length - 1] = gathered[^1].Time;
            MemoryMarshal.Cast<byte, ulong>(rows.AsSpan())[gathered.Length - 1] = gathered[^1].FirstEight;
        }

        lengths.AsSpan(0, gathered.Length).Fill(length);
        Count = gathered.Length;
    }

    /// <summary>Fills an empty block of long rows with frames that were gathered elsewhere.</summary>
    /// <param name="gathered">At most <see cref="Capacity"/>.</param>
    /// <param name="length">The payload length of all of them, 0 to 64.</param>
    /// <param name="gatheredNumbers">The number of each, where numbers are kept.</param>
    public void Fill(ReadOnlySpan<GatheredLongRow> gathered, byte length, ReadOnlySpan<long> gatheredNumbers = default)
    {
        gatheredNumbers.CopyTo(numbers);
        var to = rows.AsSpan();
        for (var row = 0; row < gathered.Length; row++, to = to[Frames.Payload.Capacity..])
        {
            times[row] = gathered[row].Time;
            gathered[row].Room[..length].CopyTo(to);
            to[length..Frames.Payload.Capacity].Clear();
        }

        lengths.AsSpan(0, gathered.Length).Fill(length);
        Count = gathered.Length;
    }

    /// <summary>The same rows in a block of their own.</summary>
    public MessageBlock Copy()
    {
        var copy = (MessageBlock)MemberwiseClone();
        copy.times = [.. times];
        copy.lengths = [.. lengths];
        copy.rows = [.. rows];
        copy.numbers = [.. numbers];
        copy.planes = null;
        copy.arePlanesFilled = false;
        return copy;
    }

    /// <summary>Empties the block.</summary>
    public void Clear() => Count = 0;
}
