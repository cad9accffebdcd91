using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// Tells a pause of a whole bus from that of a message. Several messages that were on time until then, each due three times over, do
/// not stop together by themselves; fewer may. Their frames must have been flushed, or are flushed here.
/// </summary>
internal sealed class BusPauses(IReadOnlyList<DefinedMessage> messages)
{
    // This program's choice.
    private const int FewestMessages = 3;
    private const int TimesDue = 3;

    /// <summary>Whether the bus as a whole paused between two moments in which it had no frame.</summary>
    public bool IsOfTheBus(BusTrack bus, FrameTime from, FrameTime until)
    {
        if (until - from <= bus.PauseTime)
        {
            return false;
        }

        if (until - from > bus.SilenceTime || bus.SilentSince == from)
        {
            return true;
        }

        var paused = 0;
        foreach (var message in messages)
        {
            if (message.Definition.Timing is not { Every: { } every, OnChange: false } || every * TimesDue > until - from)
            {
                continue;
            }

            foreach (var track in message.Tracks)
            {
                if (track.Bus == bus && track.Expectation is { Holds: true } expectation)
                {
                    track.Flush();
                    paused += expectation.StateAt(from) == MessageState.Fresh ? 1 : 0;
                }
            }
        }

        return paused >= FewestMessages;
    }

    /// <summary>Until when the bus was heard at a moment at which something of what is expected on it ends. Whether it was silent then stays known, since what ends can no longer tell.</summary>
    /// <param name="bus">The bus.</param>
    /// <param name="at">The moment.</param>
    /// <param name="start">When the session began: the bus may never have spoken.</param>
    public FrameTime HeardUntil(BusTrack bus, FrameTime at, FrameTime start)
    {
        if (!IsSilent(bus, at, start))
        {
            return at;
        }

        bus.SilentSince = bus.Latest;
        return bus.Latest.IsKnown ? bus.Latest : start;
    }

    /// <summary>Whether the bus is silent at a moment.</summary>
    /// <param name="bus">The bus.</param>
    /// <param name="now">The moment.</param>
    /// <param name="start">When the session began: the bus may never have spoken.</param>
    public bool IsSilent(BusTrack bus, FrameTime now, FrameTime start)
    {
        if (!bus.Latest.IsKnown)
        {
            return start.IsKnown && now - start > bus.SilenceTime;
        }

        // A report asks for every message of the bus: the answer is the same until time goes on.
        if (bus.SilentAsked != (now, bus.Latest))
        {
            bus.SilentAsked = (now, bus.Latest);
            bus.SilentAnswer = IsOfTheBus(bus, bus.Latest, now);
        }

        return bus.SilentAnswer;
    }
}
