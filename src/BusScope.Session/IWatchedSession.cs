using BusScope.Session.Readings;

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

    /// <summary>Tells which signals the screen shows: their readings come with the next snapshot, and with each after it.</summary>
    void Follow(IReadOnlyList<ReadingRequest> wanted);
}
