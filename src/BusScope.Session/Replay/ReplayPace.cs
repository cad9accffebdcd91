using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>
/// How recorded time passes: at what speed, whether it stands still, and steps from there. Turned by a person's thread,
/// obeyed by the session's thread; a lock holds the two apart.
/// </summary>
public sealed class ReplayPace
{
    /// <summary>The slowest speed: a tenth of recorded time.</summary>
    public const double Slowest = 0.1;

    /// <summary>The fastest measured speed; beyond it lies <see cref="AsFastAsPossible"/>.</summary>
    public const double Fastest = 100;

    /// <summary>No waiting at all.</summary>
    public const double AsFastAsPossible = double.PositiveInfinity;

    // A recording whose clock leaps ahead further than this is followed and not waited for.
    private static readonly FrameSpan LongestWait = FrameSpan.FromSeconds(10);

    private readonly TimeProvider time;
    private readonly Lock gate = new();
    private double speed;
    private bool isPaused;
    private int framesToStep;
    private FrameTime position = FrameTime.Never;
    private long positionAt;

    /// <summary>Recorded time that starts with the first frame.</summary>
    /// <param name="time">Where the time of the room comes from.</param>
    /// <param name="speed">See <see cref="Speed"/>.</param>
    public ReplayPace(TimeProvider time, double speed = 1)
    {
        ArgumentNullException.ThrowIfNull(time);
        this.time = time;
        this.speed = Limited(speed);
    }

    /// <summary>Recorded seconds a second: <see cref="Slowest"/> to <see cref="Fastest"/>, or <see cref="AsFastAsPossible"/>; other numbers are brought within.</summary>
    public double Speed
    {
        get { lock (gate) { return speed; } }
        set => Turn(() => speed = Limited(value));
    }

    /// <summary>Whether recorded time stands still.</summary>
    public bool IsPaused
    {
        get { lock (gate) { return isPaused; } }
        set => Turn(() => (isPaused, framesToStep) = (value, 0));
    }

    /// <summary>Raised on the person's thread when something was turned, so that a waiting session looks again.</summary>
    internal event Action? Turned;

    /// <summary>Stands still and lets one more frame through.</summary>
    public void StepFrame() => Turn(() => (isPaused, framesToStep) = (true, framesToStep + 1));

    /// <summary>Stands still and lets the frames of a span of recorded time through.</summary>
    public void StepTime(FrameSpan span) => Turn(() =>
    {
        (isPaused, framesToStep) = (true, 0);
        position = position.IsKnown ? position + span : position;
    });

    /// <summary>Where recorded time stands, or <see cref="FrameTime.Never"/> before the first frame.</summary>
    internal FrameTime Position
    {
        get
        {
            lock (gate)
            {
                Move();
                return position;
            }
        }
    }

    /// <summary>Recorded time goes on from another moment, at the same speed or standing still as before.</summary>
    internal void MoveTo(FrameTime moment)
    {
        lock (gate)
        {
            Move();
            (position, framesToStep) = (moment, 0);
        }
    }

    /// <summary>How many frames may pass now, and up to which time, if the next one in the recording is of this time.</summary>
    /// <param name="next">The time of the next frame.</param>
    /// <param name="stepsBack">Whether the recording's clock was set back before it: the pace counts anew from there.</param>
    internal (int AtMost, FrameTime Until) Allow(FrameTime next, bool stepsBack)
    {
        lock (gate)
        {
            Move();
            if (framesToStep > 0)
            {
                framesToStep--;
                position = next;
                return (1, next);
            }

            if (!position.IsKnown || stepsBack || (!isPaused && next > position + LongestWait))
            {
                position = next;
            }

            if (isPaused || !double.IsPositiveInfinity(speed))
            {
                return (int.MaxValue, position);
            }

            return (int.MaxValue, new FrameTime(long.MaxValue));
        }
    }

    /// <summary>Frames passed up to this time: as fast as possible, that is where recorded time stands.</summary>
    internal void Passed(FrameTime latest)
    {
        lock (gate)
        {
            position = latest > position ? latest : position;
        }
    }

    /// <summary>How long the room waits until recorded time reaches this moment; infinite while it stands still.</summary>
    internal TimeSpan Until(FrameTime next)
    {
        lock (gate)
        {
            Move();
            if (isPaused)
            {
                return framesToStep > 0 || next <= position ? TimeSpan.Zero : Timeout.InfiniteTimeSpan;
            }

            var seconds = (next - position).Seconds / speed;
            return TimeSpan.FromSeconds(Math.Clamp(seconds, 0, LongestWait.Seconds));
        }
    }

    private static double Limited(double speed) =>
        double.IsPositiveInfinity(speed) ? speed : double.IsNaN(speed) ? 1 : Math.Clamp(speed, Slowest, Fastest);

    // Time that has passed so far counts at the old speed.
    private void Turn(Action change)
    {
        lock (gate)
        {
            Move();
            change();
        }

        Turned?.Invoke();
    }

    private void Move()
    {
        var now = time.GetTimestamp();
        if (position.IsKnown && !isPaused && !double.IsPositiveInfinity(speed))
        {
            position += FrameSpan.FromSeconds(time.GetElapsedTime(positionAt, now).TotalSeconds * speed);
        }

        positionAt = now;
    }
}
