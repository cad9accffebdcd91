using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Plans;

namespace BusScope.Session;

/// <summary>A session as a screen sees it. Every member may be used from any thread.</summary>
public interface IWatchedSession
{
    /// <summary>The latest snapshot.</summary>
    SessionSnapshot Current { get; }

    /// <summary>How recorded time passes; null for a live source.</summary>
    ReplayPace? Pace { get; }

    /// <summary>Sets a mark at the moment that is shown.</summary>
    /// <param name="note">What the person has to say; empty for a mark alone.</param>
    /// <returns>Whether it went into a recording.</returns>
    bool Mark(string note);

    /// <summary>Tells what the screen shows of signals and of one message: the readings come with the next snapshot, and with each after it.</summary>
    /// <param name="wanted">The signals.</param>
    /// <param name="message">The message, or null for none.</param>
    void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message = null);

    /// <summary>Has signals that were defined meanwhile read with the others. States and findings go on by the definitions of the start.</summary>
    /// <param name="plan">The plan so far with signals behind those of its messages, and with messages behind its own.</param>
    void Widen(DefinitionPlan plan);

    /// <summary>Whether one can go to any moment: in a recording that can be read more than once. Else nothing comes of the following.</summary>
    bool CanJump { get; }

    /// <summary>
    /// Goes to a moment of the recording: everything is then as if it had been replayed up to there. What was not read ahead yet is waited
    /// for.
    /// </summary>
    /// <param name="moment">A time before the beginning or behind the end stands for the beginning or the end.</param>
    void JumpTo(FrameTime moment);

    /// <summary>Goes back by one frame and stands still there.</summary>
    void StepBack();

    /// <summary>Replays a part of the recording over and over.</summary>
    /// <param name="part">The part; null goes on behind it.</param>
    void Repeat(ReplayLoop? part);
}
