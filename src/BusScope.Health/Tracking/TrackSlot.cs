using System.Runtime.CompilerServices;
using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Where the next frame of a track is gathered: eight bytes, so that those of a hundred tracks stay in the first-level cache.
/// </summary>
internal struct TrackSlot
{
    // No payload is 255 bytes long, so a slot with this length takes no frame.
    public const byte NoLength = byte.MaxValue;

    public static readonly TrackSlot Closed = new() { place = Nowhere, Length = NoLength, UsualLength = NoLength };

    private const int Nowhere = int.MinValue;

    // The first of its short rows, or the complement of the first of its long ones.
    private int place;
    public ushort Count;
    public byte Length;

    // The same, or NoLength where a frame is to be looked at by itself once it was added.
    public byte UsualLength;

    public readonly bool HasRows => place != Nowhere;

    public readonly bool IsLong => place < 0;

    public readonly int First => IsLong ? ~place : place;

    public readonly int Next => First + Count;

    public void PutRows(int first, bool isLong) => place = isLong ? ~first : first;

    /// <summary>Adds a frame to short rows.</summary>
    /// <returns>Whether the rows are full.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Add(Span<GatheredRow> rows, in Frame frame)
    {
        rows[place + Count] = new GatheredRow(frame.Time.Nanoseconds, frame.FirstEight);
        return ++Count == MessageBlock.Capacity;
    }

    /// <summary>Adds a frame to long rows.</summary>
    /// <returns>Whether the rows are full.</returns>
    public bool Add(Span<GatheredLongRow> rows, in Frame frame)
    {
        rows[~place + Count].Set(frame);
        return ++Count == MessageBlock.Capacity;
    }
}
