using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Expectations;

/// <summary>
/// A message that tells a condition. What it said is good until it is stale; then nobody knows what holds, from its last frame on. One
/// that is sent only on change may be silent for as long as nothing changes.
/// </summary>
/// <param name="message">Which.</param>
internal sealed class Teller(DefinedMessage message)
{
    private readonly FrameSpan? staleAfter = message.Definition.Timing is { OnChange: true, Every: null } timing ? null : message.Definition.Timing.StaleAfter;

    /// <summary>The index of its message.</summary>
    public int Message => message.Index;

    /// <summary>The name of its message.</summary>
    public string Name => message.Definition.Name;

    /// <summary>Whether it is known that it need not come, by a condition of its own.</summary>
    public bool IsOff => message.Condition is { IsKnown: true, Holds: false };

    /// <summary>When it told last, a silence of all buses left out; <see cref="FrameTime.Never"/> before it did.</summary>
    public FrameTime Last { get; private set; } = FrameTime.Never;

    /// <summary>The same teller among copies of the messages, which goes on by itself.</summary>
    public Teller For(IReadOnlyList<DefinedMessage> messages) => new(messages[Message]) { Last = Last };

    /// <summary>
    /// Until when what it told last surely held, seen from the frame that tells it anew: until it told it, since frames may be lost and a period is long;
    /// until that frame, where it speaks on change alone.
    /// </summary>
    public FrameTime KnownUntil(FrameTime at) => staleAfter is null || !Last.IsKnown ? at : Last;

    /// <summary>It told something.</summary>
    public void Tell(FrameTime at) => Last = at;

    /// <summary>While nothing at all could be heard, it could not be either.</summary>
    public void Interrupt(FrameTime from, FrameTime until)
    {
        if (Last.IsKnown && until > Last)
        {
            Last += until - (from > Last ? from : Last);
        }
    }

    /// <summary>The clock was set back, or nothing could be seen of its bus until now.</summary>
    public void Restart(FrameTime at) => Last = Last.IsKnown ? at : Last;

    /// <summary>Whether what it told is out of date at a moment.</summary>
    public bool IsStaleAt(FrameTime now) => staleAfter is { } limit && Last.IsKnown && now - Last > limit;
}
