using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Where the frames of all tracks are gathered until they are worked through together. The path of every frame touches eight bytes
/// of a slot and the bytes of a row and nothing else of its track, so that a hundred tracks stay in the first-level cache. See
/// docs/decisions/0301-gathered-frames.md.
/// </summary>
internal sealed class Gathering
{
    // Eight kilobytes each, and 36 for long frames: a capture that runs through all identifiers shall not claim more than 32 MB of the one
    // and 20 MB of the other.
    private const int MostShort = 4_096;
    private const int MostLong = MostShort * Payload.ClassicCapacity / Payload.Capacity;
    private const int FirstTracks = 64;

    private MessageBlock shortBlock;
    private MessageBlock? longBlock;
    private RowStore<GatheredRow> shortRows;
    private RowStore<GatheredLongRow> longRows;
    private long[] gaps = new long[MessageBlock.Capacity];
    private TrackSlot[] slots = new TrackSlot[FirstTracks];

    /// <summary>An empty place.</summary>
    /// <param name="marksChanges">Whether to note when each payload byte changed last.</param>
    /// <param name="keepsNumbers">Whether to keep the number of each frame, until its rows are taken.</param>
    public Gathering(bool marksChanges, bool keepsNumbers)
    {
        MarksChanges = marksChanges;
        KeepsNumbers = keepsNumbers;
        shortBlock = new MessageBlock(Payload.ClassicCapacity, keepsNumbers);
        shortRows = new RowStore<GatheredRow>(MostShort, keepsNumbers);
        longRows = new RowStore<GatheredLongRow>(MostLong, keepsNumbers);
    }

    /// <summary>Whether the numbers of frames are kept.</summary>
    public bool KeepsNumbers { get; }

    /// <summary>Whether to note when each payload byte changed last.</summary>
    public bool MarksChanges { get; }

    /// <summary>The gaps between the frames that are being worked through: one track at a time, on the monitor's thread.</summary>
    public Span<long> Gaps => gaps;

    /// <summary>The rows of all tracks now, for many frames; holds until a track is opened or closed.</summary>
    public View Now => new(slots, shortRows.Rows);

    /// <summary>The same frames in a place of their own.</summary>
    public Gathering Copy()
    {
        var copy = (Gathering)MemberwiseClone();
        copy.shortBlock = new MessageBlock(Payload.ClassicCapacity, KeepsNumbers);
        copy.longBlock = null;
        copy.shortRows = shortRows.Copy();
        copy.longRows = longRows.Copy();
        copy.gaps = new long[MessageBlock.Capacity];
        copy.slots = [.. slots];
        return copy;
    }

    /// <summary>Makes the slot of the next track.</summary>
    public void AddSlot(int number)
    {
        if (number == slots.Length)
        {
            Array.Resize(ref slots, number * 2);
        }

        slots[number] = TrackSlot.Closed;
    }

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

        if (KeepsNumbers)
        {
            (slot.IsLong ? longRows.Numbers : shortRows.Numbers)[slot.Next] = frameNumber;
        }

        isFull = Add(ref slot, frame);
        return true;
    }

    /// <summary>Finishes a frame with which <see cref="UsualFrames"/> stopped.</summary>
    /// <param name="number">Its track.</param>
    /// <param name="frame">The frame.</param>
    /// <returns>Whether the rows of the track are full and must be taken.</returns>
    public bool Finish(int number, in Frame frame)
    {
        ref var slot = ref slots[number];
        return !slot.IsLong || Add(ref slot, frame);
    }

    /// <summary>Takes the rows of a track; null where there are none. What is given holds until the next call.</summary>
    public MessageBlock? Take(int number)
    {
        ref var slot = ref slots[number];
        if (slot.Count == 0)
        {
            return null;
        }

        var numbers = !KeepsNumbers ? default : (slot.IsLong ? longRows.Numbers : shortRows.Numbers).Slice(slot.First, slot.Count);
        var block = shortBlock;
        if (slot.IsLong)
        {
            block = longBlock ??= new MessageBlock(Payload.Capacity, KeepsNumbers);
            block.Fill(longRows.Rows.Slice(slot.First, slot.Count), slot.Length, numbers);
        }
        else
        {
            block.Fill(shortRows.Rows.Slice(slot.First, slot.Count), slot.Length, numbers);
        }

        slot.Count = 0;
        return block;
    }

    /// <summary>From now on the track gathers frames of this length. Its rows must have been taken.</summary>
    /// <param name="number">The track.</param>
    /// <param name="length">0 to 64.</param>
    /// <param name="isLong">Whether it is one of those tracks whose frames may have more than eight bytes: they stay so once they are.</param>
    /// <param name="isDefined">Whether the message is defined: then there is always room, for its content must be checked.</param>
    /// <param name="isUsual">Whether nothing is to be done with its frames but to gather them.</param>
    /// <returns>Whether there is room for one more track.</returns>
    public bool TryOpen(int number, byte length, bool isLong, bool isDefined, bool isUsual)
    {
        ref var slot = ref slots[number];
        if (!slot.HasRows || slot.IsLong != isLong)
        {
            if ((isLong ? longRows.Grant(isDefined) : shortRows.Grant(isDefined)) is not { } first)
            {
                return false;
            }

            slot.PutRows(first, isLong);
        }

        slot.Length = length;
        slot.UsualLength = isUsual ? length : TrackSlot.NoLength;
        return true;
    }

    /// <summary>From now on the track gathers nothing. Its rows must have been taken.</summary>
    public void Close(int number) => slots[number].Length = slots[number].UsualLength = TrackSlot.NoLength;

    /// <summary>The rows of all tracks at one moment.</summary>
    public readonly ref struct View
    {
        internal View(Span<TrackSlot> slots, Span<GatheredRow> shortRows)
        {
            Slots = slots;
            ShortRows = shortRows;
        }

        /// <summary>Where the next frame of each track goes.</summary>
        public Span<TrackSlot> Slots { get; }

        /// <summary>The short rows of all of them.</summary>
        public Span<GatheredRow> ShortRows { get; }
    }

    private bool Add(ref TrackSlot slot, in Frame frame) => slot.IsLong ? slot.Add(longRows.Rows, frame) : slot.Add(shortRows.Rows, frame);
}
