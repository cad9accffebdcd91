using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>
/// A moment of a recording. Where its clock was set back, by more than frames can be out of order, a recording has the same times more than
/// once, so a moment is a time and the stretch in which it is meant.
/// </summary>
/// <param name="Stretch">How often the clock was set back before it.</param>
/// <param name="Time">The time.</param>
internal readonly record struct Moment(int Stretch, FrameTime Time) : IComparable<Moment>
{
    /// <summary>Behind every moment.</summary>
    public static Moment End => new(int.MaxValue, new FrameTime(long.MaxValue));

    /// <inheritdoc/>
    public int CompareTo(Moment other) => Stretch != other.Stretch ? Stretch.CompareTo(other.Stretch) : Time.CompareTo(other.Time);
}
