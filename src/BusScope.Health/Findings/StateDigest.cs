using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>All states of a session in one number: as long as it stays the same, nothing fell silent, came back or appeared. Far cheaper than a report.</summary>
internal static class StateDigest
{
    /// <summary>The number at the moment of the session. Everything must have been flushed.</summary>
    public static int Of(SessionTrack session)
    {
        var digest = default(HashCode);
        var now = session.Now;
        digest.Add(session.Tracks.Count);
        foreach (var bus in session.Buses)
        {
            digest.Add(session.IsSilent(bus, now));
            digest.Add(bus.ErrorFrames > 0);
        }

        foreach (var message in session.Messages)
        {
            digest.Add(message.Unseen is { } unseen ? (int)unseen.StateAt(now) : -1);
            foreach (var track in message.Tracks)
            {
                digest.Add(track.Expectation is { } expectation ? (int)expectation.StateAt(now) : -1);
            }
        }

        return digest.ToHashCode();
    }
}
