using System.Runtime.CompilerServices;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Where the next frames of a track go: all that the path of every frame touches of it. Sixteen bytes each, side by side, so
/// that a hundred tracks stay in the first-level cache.
/// </summary>
/// <param name="Block">The block that gathers them, or null.</param>
/// <param name="Shortest">The shortest payload that the block takes.</param>
/// <param name="Span">The longest payload less the shortest.</param>
/// <param name="IsWatched">Whether a condition reads the message.</param>
internal readonly record struct TrackSlot(MessageBlock? Block, byte Shortest, byte Span, bool IsWatched)
{
    /// <summary>Takes no frame: no payload is 255 bytes long.</summary>
    public static TrackSlot Closed { get; } = new(null, byte.MaxValue, 0, IsWatched: false);

    /// <summary>Whether a payload of this length goes to the block.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Takes(byte length) => (uint)(length - Shortest) <= Span;
}
