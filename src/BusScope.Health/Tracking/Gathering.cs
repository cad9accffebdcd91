using System.Runtime.CompilerServices;
using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Where the frames of all tracks are gathered until they are worked through together: one array of rows for all, 256 for
/// each track. The path of every frame touches eight bytes of a slot and sixteen bytes of a row and nothing else of its
/// track, so that a hundred tracks stay in the first-level cache. See docs/decisions/0301-gathered-frames.md.
/// </summary>
internal sealed class Gathering
{
    // Four kilobytes each: a capture that runs through all identifiers shall not claim more than 16 MB.
    private const int LargestGathered = 4_096;
    private const int LargestLong = LargestGathered * Payload.ClassicCapacity / Payload.Capacity;
    private const int FirstTracks = 64;

    // Four rows of room behind each track's 256: with 4,096 bytes from track to track all of them would meet in the same few lines of
    // the first-level cache.
    private const int TrackStride = MessageBlock.Capacity + 4;

    private MessageBlock block;
    private long[] gaps = new long[MessageBlock.Capacity];
    private Slot[] slots = new Slot[FirstTracks];
    private GatheredRow[] rows = new GatheredRow[FirstTracks * TrackStride];

    // The number of the frame of each row; empty where nobody asked.
    private long[] numbers;
    private int granted;
    private int longBlocks;

    /// <summary>An empty place.</summary>
    /// <param name="marksChanges">Whether to note when each payload byte changed last.</param>
    /// <param name="keepsNumbers">Whether to keep the number of each frame, until its rows are taken.</param>
    public Gathering(bool marksChanges, bool keepsNumbers)
    {
        MarksChanges = marksChanges;
        KeepsNumbers = keepsNumbers;
        block = new MessageBlock(Payload.ClassicCapacity, keepsNumbers);
        numbers = keepsNumbers ? new long[rows.Length] : [];
    }

    /// <summary>Whether the numbers of frames are kept.</summary>
    public bool KeepsNumbers { get; }

    /// <summary>Whether to note when each payload byte changed last.</summary>
    public bool MarksChanges { get; }

    /// <summary>The gaps between the frames that are being worked through: one track at a time, on the monitor's thread.</summary>
    public Span<long> Gaps => gaps;

    /// <summary>The same frames in a place of their own.</summary>
    public Gathering Copy()
    {
        var copy = (Gathering)MemberwiseClone();
        copy.block = new MessageBlock(Payload.ClassicCapacity, KeepsNumbers);
        copy.gaps = new long[MessageBlock.Capacity];
        copy.slots = [.. slots];
        copy.rows = [.. rows];
        copy.numbers = [.. numbers];
        return copy;
    }

    /// <summary>Makes the slot of the next track.</summary>
    public void AddSlot(int number)
    {
        if (number == slots.Length)
        {
            Array.Resize(ref slots, number * 2);
        }

        slots[number] = Slot.Closed;
    }

    /// <summary>The rows of all tracks now, for many frames; holds until a track is opened or closed.</summary>
    public View Now => new(slots, rows);

    /// <summary>Adds a frame to its track's rows, if its length is the one that they take.</summary>
    /// <param name="number">The track.</param>
    /// <param name="frame">The frame.</param>
    /// <param name="frameNumber">The frame's number in the session.</param>
    /// <param name="isFull">Whether the rows must be taken before the next frame.</param>
    public bool TryAdd(int number, in Frame frame, long frameNumber, out bool isFull)
    {
        ref var slot = ref slots[number];
        if (slot.Length != frame.Length)
        {
            isFull = false;
            return false;
        }

        if (numbers.Length > 0)
        {
            numbers[slot.Start + slot.Count] = frameNumber;
        }

        isFull = slot.Add(rows, frame);
        return true;
    }

    /// <summary>Takes the rows of a track; null where there are none. What is given holds until the next call.</summary>
    public MessageBlock? Take(int number)
    {
        ref var slot = ref slots[number];
        if (slot.Count == 0)
        {
            return null;
        }

        block.Fill(rows.AsSpan(slot.Start, slot.Count), slot.Length, KeepsNumbers ? numbers.AsSpan(slot.Start, slot.Count) : default);
        slot.Count = 0;
        return block;
    }

    /// <summary>From now on the track gathers frames of this length. Its rows must have been taken.</summary>
    /// <param name="number">The track.</param>
    /// <param name="length">0 to 8.</param>
    /// <param name="isDefined">Whether the message is defined: then there is always room, for its content must be checked.</param>
    /// <param name="isUsual">Whether nothing is to be done with its frames but to gather them.</param>
    /// <returns>Whether there is room for one more track.</returns>
    public bool TryOpen(int number, byte length, bool isDefined, bool isUsual)
    {
        ref var slot = ref slots[number];
        if (slot.Start < 0)
        {
            if (granted >= LargestGathered && !isDefined)
            {
                return false;
            }

            slot.Start = granted++ * TrackStride;
            if (slot.Start == rows.Length)
            {
                Array.Resize(ref rows, rows.Length * 2);
                Array.Resize(ref numbers, KeepsNumbers ? rows.Length : 0);
            }
        }

        slot.Length = length;
        slot.UsualLength = isUsual ? length : Slot.NoLength;
        return true;
    }

    /// <summary>From now on the track gathers nothing. Its rows must have been taken.</summary>
    public void Close(int number) => slots[number].Length = slots[number].UsualLength = Slot.NoLength;

    /// <summary>A block for a track of more than eight bytes, or null when too many have one.</summary>
    /// <param name="isDefined">Whether the message is defined: then there is always room.</param>
    public MessageBlock? LongBlock(bool isDefined)
    {
        if (longBlocks >= LargestLong && !isDefined)
        {
            return null;
        }

        longBlocks++;
        return new MessageBlock(Payload.Capacity, KeepsNumbers);
    }

    /// <summary>The rows of all tracks at one moment.</summary>
    public readonly ref struct View
    {
        private readonly Span<Slot> slots;
        private readonly Span<GatheredRow> rows;

        internal View(Span<Slot> slots, Span<GatheredRow> rows)
        {
            this.slots = slots;
            this.rows = rows;
        }

        /// <summary>Adds a frame to its track's rows, if they take its length and nothing else is to be done with it.</summary>
        /// <param name="number">The track.</param>
        /// <param name="frame">The frame.</param>
        /// <param name="isFull">Whether the rows must be taken before the next frame.</param>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool TryAdd(int number, in Frame frame, out bool isFull)
        {
            ref var slot = ref slots[number];
            if (slot.UsualLength != frame.Length)
            {
                isFull = false;
                return false;
            }

            isFull = slot.Add(rows, frame);
            return true;
        }
    }

    internal struct Slot
    {
        // No payload is 255 bytes long, so a slot with this length takes no frame.
        public const byte NoLength = byte.MaxValue;

        public static readonly Slot Closed = new() { Start = -1, Length = NoLength, UsualLength = NoLength };

        // Of its rows, or -1 while it has none.
        public int Start;
        public ushort Count;
        public byte Length;

        // The same, or NoLength where a frame is to be looked at by itself once it was added.
        public byte UsualLength;

        /// <summary>Adds a frame.</summary>
        /// <returns>Whether the rows are full.</returns>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool Add(Span<GatheredRow> rows, in Frame frame)
        {
            rows[Start + Count] = new GatheredRow(frame.Time.Nanoseconds, frame.FirstEight);
            return ++Count == MessageBlock.Capacity;
        }
    }
}
