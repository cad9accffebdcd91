using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session.Replay;

/// <summary>
/// What is known of a whole recording while it is replayed, because it is read once ahead of the replay. Immutable; a further one takes its
/// place as reading goes on.
/// </summary>
public sealed record RecordingSurvey
{
    /// <summary>Whether the recording was read to its end.</summary>
    public bool IsOver { get; init; }

    /// <summary>How far it was read, 0 to 1, or null where that is not known.</summary>
    public double? Progress { get; init; }

    /// <summary>From when to when each stretch goes: a recording has one, unless its clock was set back.</summary>
    public IReadOnlyList<RecordedStretch> Stretches { get; init; } = [];

    /// <summary>What is found in the whole of it; empty before its end is known.</summary>
    public IReadOnlyList<Finding> Findings { get; init; } = [];

    /// <summary>What happens in it, as far as it was read, oldest first.</summary>
    public IReadOnlyList<SessionEvent> Events { get; init; } = [];

    /// <summary>Why it could not be read on, or null.</summary>
    public string? Failure { get; init; }

    /// <summary>The only stretch of a recording that was read to its end; null where time does not stand for the way through it.</summary>
    public RecordedStretch? Whole => IsOver && Stretches is [var only] ? only : null;

    /// <summary>
    /// Which moment is meant by a time: that of the stretch where the replay stands, if it has it, else of the longest that has it, else the nearest
    /// one of the stretch where it stands.
    /// </summary>
    /// <param name="time">The time.</param>
    /// <param name="standing">The stretch where the replay stands.</param>
    /// <returns>Null while it is not known.</returns>
    internal Moment? Find(FrameTime time, int standing)
    {
        if (standing >= Stretches.Count)
        {
            return null;
        }

        var found = standing;
        if (!Stretches[standing].Has(time))
        {
            var longest = FrameSpan.Zero;
            for (var i = 0; i < Stretches.Count; i++)
            {
                if (Stretches[i] is var other && other.Has(time) && other.Last - other.First >= longest)
                {
                    (found, longest) = (i, other.Last - other.First);
                }
            }
        }

        var stretch = Stretches[found];
        return !IsOver && time > stretch.Last ? null
            : new Moment(found, time < stretch.First ? stretch.First : time > stretch.Last ? stretch.Last : time);
    }
}

/// <summary>A part of a recording in which its clock was not set back.</summary>
/// <param name="First">The earliest time.</param>
/// <param name="Last">The latest time.</param>
public sealed record RecordedStretch(FrameTime First, FrameTime Last)
{
    /// <summary>Whether it has this time.</summary>
    public bool Has(FrameTime time) => time >= First && time <= Last;
}
