using System.Globalization;

namespace BusScope.Frames;

/// <summary>A length of time in nanoseconds, negative when time stepped back.</summary>
/// <param name="Nanoseconds">Nanoseconds.</param>
public readonly record struct FrameSpan(long Nanoseconds) : IComparable<FrameSpan>
{
    /// <summary>Nanoseconds in a microsecond.</summary>
    public const long NanosecondsPerMicrosecond = 1_000;

    /// <summary>Nanoseconds in a millisecond.</summary>
    public const long NanosecondsPerMillisecond = 1_000_000;

    /// <summary>Nanoseconds in a second.</summary>
    public const long NanosecondsPerSecond = 1_000_000_000;

    /// <summary>No time at all.</summary>
    public static FrameSpan Zero => default;

    /// <summary>The span in milliseconds.</summary>
    public double Milliseconds => Nanoseconds / (double)NanosecondsPerMillisecond;

    /// <summary>The span in seconds.</summary>
    public double Seconds => Nanoseconds / (double)NanosecondsPerSecond;

    /// <summary>A span of so many milliseconds, rounded to the nanosecond.</summary>
    public static FrameSpan FromMilliseconds(double milliseconds) => new((long)Math.Round(milliseconds * NanosecondsPerMillisecond));

    /// <summary>A span of so many seconds, rounded to the nanosecond.</summary>
    public static FrameSpan FromSeconds(double seconds) => new((long)Math.Round(seconds * NanosecondsPerSecond));

    /// <summary>The sum of two spans.</summary>
    public static FrameSpan operator +(FrameSpan left, FrameSpan right) => new(left.Nanoseconds + right.Nanoseconds);

    /// <summary>The difference of two spans.</summary>
    public static FrameSpan operator -(FrameSpan left, FrameSpan right) => new(left.Nanoseconds - right.Nanoseconds);

    /// <summary>A span so many times as long.</summary>
    public static FrameSpan operator *(FrameSpan span, double factor) => new((long)Math.Round(span.Nanoseconds * factor));

    /// <summary>Whether the left span is shorter.</summary>
    public static bool operator <(FrameSpan left, FrameSpan right) => left.Nanoseconds < right.Nanoseconds;

    /// <summary>Whether the left span is longer.</summary>
    public static bool operator >(FrameSpan left, FrameSpan right) => left.Nanoseconds > right.Nanoseconds;

    /// <summary>Whether the left span is not longer.</summary>
    public static bool operator <=(FrameSpan left, FrameSpan right) => left.Nanoseconds <= right.Nanoseconds;

    /// <summary>Whether the left span is not shorter.</summary>
    public static bool operator >=(FrameSpan left, FrameSpan right) => left.Nanoseconds >= right.Nanoseconds;

    /// <inheritdoc/>
    public int CompareTo(FrameSpan other) => Nanoseconds.CompareTo(other.Nanoseconds);

    /// <summary>The span in the unit that reads best: <c>12.5 ms</c>, <c>3.2 s</c>, <c>850 µs</c>.</summary>
    public override string ToString() => Math.Abs(Nanoseconds) switch
    {
        < NanosecondsPerMillisecond => string.Create(CultureInfo.InvariantCulture, $"{Nanoseconds / (double)NanosecondsPerMicrosecond:0.#} µs"),
        < NanosecondsPerSecond => string.Create(CultureInfo.InvariantCulture, $"{Milliseconds:0.#} ms"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{Seconds:0.##} s"),
    };
}
