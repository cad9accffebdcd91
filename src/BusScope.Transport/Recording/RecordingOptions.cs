using BusScope.Frames;

namespace BusScope.Transport.Recording;

/// <summary>How a recording is written.</summary>
/// <param name="Path">The file; where files take turns, the name that theirs are made from.</param>
public sealed record RecordingOptions(string Path)
{
    /// <summary>Room left on the disk where nothing else is asked for: 100 MB.</summary>
    public const long UsualRoomLeft = 100_000_000;

    /// <summary>The next file begins before this one has more bytes, or null.</summary>
    public long? RotateSize { get; init; }

    /// <summary>The next file begins after this time, or null.</summary>
    public TimeSpan? RotateTime { get; init; }

    /// <summary>The files of this recording together have at most so many bytes, the oldest make room; or null.</summary>
    public long? Keep { get; init; }

    /// <summary>Recording ends before the disk has less room than this, in bytes.</summary>
    public long LeaveFree { get; init; } = UsualRoomLeft;

    /// <summary>Whether files that are there may be overwritten.</summary>
    public bool Overwrite { get; init; }

    /// <summary>Whether recording waits for a trigger, and how much of what came before it is recorded too.</summary>
    public FrameSpan? Before { get; init; }

    /// <summary>
    /// Recording ends so long after its first frame, or after the frame that was its trigger; or null. By the times of the frames, where
    /// <see cref="Clock"/> is not ours: our own clock may be set meanwhile, and whoever reads knows how long it has been.
    /// </summary>
    public FrameSpan? Length { get; init; }

    /// <summary>Whether frames come as they happen, so that waiting for the disk is worth telling, and by whose clock they are stamped.</summary>
    public SourceClock Clock { get; init; }

    /// <summary>Comments on the recording as a whole.</summary>
    public IReadOnlyList<string> Comments { get; init; } = [];

    /// <summary>Whether it has more than one file, numbered.</summary>
    public bool TakesTurns => RotateSize is not null || RotateTime is not null;
}
