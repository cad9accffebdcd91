using System.Globalization;

namespace BusScope.Frames;

/// <summary>
/// A moment: nanoseconds since the Unix epoch, 1970-01-01T00:00:00Z. A signed 64-bit count reaches from 1677-09-21 to
/// 2262-04-11. A capture whose clock starts at zero, or below, is held just as it was recorded.
/// </summary>
/// <param name="Nanoseconds">Nanoseconds since the Unix epoch.</param>
public readonly record struct FrameTime(long Nanoseconds) : IComparable<FrameTime>
{
    /// <summary>The earliest moment that can be held; used as "never".</summary>
    public static FrameTime Never => new(long.MinValue);

    /// <summary>Whether this is a moment at all, and not <see cref="Never"/>.</summary>
    public bool IsKnown => Nanoseconds != long.MinValue;

    /// <summary>Seconds since the Unix epoch, rounded to a double.</summary>
    public double Seconds => Nanoseconds / (double)FrameSpan.NanosecondsPerSecond;

    /// <summary>The span from <paramref name="right"/> to <paramref name="left"/>.</summary>
    public static FrameSpan operator -(FrameTime left, FrameTime right) => new(left.Nanoseconds - right.Nanoseconds);

    /// <summary>The moment a span later.</summary>
    public static FrameTime operator +(FrameTime left, FrameSpan right) => new(left.Nanoseconds + right.Nanoseconds);

    /// <summary>The moment a span earlier.</summary>
    public static FrameTime operator -(FrameTime left, FrameSpan right) => new(left.Nanoseconds - right.Nanoseconds);

    /// <summary>Whether the left moment is earlier.</summary>
    public static bool operator <(FrameTime left, FrameTime right) => left.Nanoseconds < right.Nanoseconds;

    /// <summary>Whether the left moment is later.</summary>
    public static bool operator >(FrameTime left, FrameTime right) => left.Nanoseconds > right.Nanoseconds;

    /// <summary>Whether the left moment is not later.</summary>
    public static bool operator <=(FrameTime left, FrameTime right) => left.Nanoseconds <= right.Nanoseconds;

    /// <summary>Whether the left moment is not earlier.</summary>
    public static bool operator >=(FrameTime left, FrameTime right) => left.Nanoseconds >= right.Nanoseconds;

    /// <inheritdoc/>
    public int CompareTo(FrameTime other) => Nanoseconds.CompareTo(other.Nanoseconds);

    /// <summary>Seconds since the epoch with nine decimals, exact: <c>-0.364000000</c>.</summary>
    public override string ToString()
    {
        var magnitude = (ulong)Math.Abs((decimal)Nanoseconds);
        var sign = Nanoseconds < 0 ? "-" : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{sign}{magnitude / FrameSpan.NanosecondsPerSecond}.{magnitude % FrameSpan.NanosecondsPerSecond:D9}");
    }
}
