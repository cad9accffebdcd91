using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>A time in which bits that are meant to live stood still.</summary>
/// <param name="From">The frame in which they changed last, or the first that was seen.</param>
/// <param name="Until">The last frame in which they still had that value.</param>
/// <param name="Frames">Frames from the one to the other.</param>
/// <param name="Number">The number of the first of these frames in the session; 0 where it is not known.</param>
/// <param name="UntilNumber">The number of the last of them; 0 where it is not known.</param>
internal readonly record struct Rest(FrameTime From, FrameTime Until, long Frames, long Number, long UntilNumber)
{
    /// <summary>Fewer frames prove nothing. This program's choice.</summary>
    public const long FewestFrames = 128;

    /// <summary>What has rested before may rest again, but not for so many times as long. This program's choice.</summary>
    public const long TimesUsual = 4;

    /// <summary>Fast messages have that many frames in no time.</summary>
    public static readonly FrameSpan Shortest = FrameSpan.FromSeconds(1);

    /// <summary>How much of this time nothing was expected, or the bus was silent.</summary>
    public FrameSpan Paused { get; init; }

    /// <summary>For how long they were seen to stand still.</summary>
    public FrameSpan Length => Until - From - Paused;

    /// <summary>Whether it is longer than bits that live rest.</summary>
    /// <param name="usual">The longest rest between two changes before, in frames.</param>
    /// <param name="first">The rest before they came to life, in frames: so long they may rest again, but no longer for that.</param>
    public bool IsTooLong(long usual, long first) => Frames >= FewestFrames && Frames >= usual * TimesUsual && Frames > first && Length >= Shortest;
}
