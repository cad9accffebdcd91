using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Expectations;

/// <summary>One <c>while</c> condition: who tells it, who depends on it, and what is known of it.</summary>
internal sealed class Condition
{
    private Teller[] tellers;
    private DefinedMessage[] dependents;
    private FrameTime unknownSince = FrameTime.Never;

    // Who fell silent when it was no longer known, at last.
    private Teller? lost;
    private HeldTimes? held;

    // Times in which it was no longer known that ended, because it was told again.
    private GapTally unknown = new();

    /// <summary>A condition that nobody has told yet.</summary>
    /// <param name="text">As it is written.</param>
    /// <param name="value">Whether it holds by itself; null where that is to be told.</param>
    /// <param name="tellers">The messages that it is made of.</param>
    /// <param name="dependents">The messages that are expected while it holds.</param>
    /// <param name="keepsTimes">Whether to keep when it held.</param>
    public Condition(string text, bool? value, Teller[] tellers, DefinedMessage[] dependents, bool keepsTimes)
    {
        Text = text;
        IsKnown = EverKnown = value is not null;
        Holds = value == true;
        this.tellers = tellers;
        this.dependents = dependents;
        held = keepsTimes ? new HeldTimes() : null;
    }

    /// <summary>As it is written.</summary>
    public string Text { get; }

    /// <summary>The messages that it is made of.</summary>
    public IReadOnlyList<Teller> Tellers => tellers;

    /// <summary>The messages that are expected while it holds.</summary>
    public IReadOnlyList<DefinedMessage> Dependents => dependents;

    /// <summary>Whether it holds; what is not known does not.</summary>
    public bool Holds { get; private set; }

    /// <summary>Whether it is known whether it holds.</summary>
    public bool IsKnown { get; private set; }

    /// <summary>Whether it was ever known whether it holds.</summary>
    public bool EverKnown { get; private set; }

    /// <summary>When it held, up to a moment; null where nobody asked.</summary>
    public IReadOnlyList<HeldTime>? HeldUntil(FrameTime now) => held?.Until(KnownUntil(now));

    /// <summary>The same condition among copies of the messages, which goes on by itself.</summary>
    public Condition For(IReadOnlyList<Teller> others, IReadOnlyList<DefinedMessage> messages)
    {
        var copy = (Condition)MemberwiseClone();
        copy.tellers = Array.ConvertAll(tellers, teller => others.First(other => other.Message == teller.Message));
        copy.dependents = Array.ConvertAll(dependents, message => messages[message.Index]);
        copy.held = held?.Copy();
        copy.unknown = unknown.Copy();
        copy.lost = lost is null ? null : copy.tellers.First(other => other.Message == lost.Message);
        return copy;
    }

    /// <summary>
    /// Until when it is known, seen from a later moment: that moment, or when it was told last by anybody, where all who tell it are
    /// silent since. Changes nothing, so that it does not matter who asks when.
    /// </summary>
    public FrameTime KnownUntil(FrameTime at) => IsKnown && SilentAt(at) is { } silent ? silent.Last : at;

    /// <summary>It was told, or what it is made of is forgotten.</summary>
    /// <param name="value">Whether it holds; null where that is not known.</param>
    /// <param name="at">From when on.</param>
    /// <param name="before">Until when it surely was as before: when whoever tells it now did so last.</param>
    /// <param name="silent">Who fell silent, or null.</param>
    /// <param name="heardUntil">Until when the bus of a message was heard at a moment.</param>
    public void Turn(bool? value, FrameTime at, FrameTime before, Teller? silent, HeardUntil heardUntil)
    {
        var turns = value == true != Holds;
        if (turns)
        {
            // What came until now is judged by what was known until now.
            BreakGaps();
        }

        if (silent is not null && IsKnown && value is null)
        {
            (unknownSince, lost) = (at, silent);
        }
        else if (value is not null && unknownSince.IsKnown)
        {
            unknown.Add(unknownSince, at);
            unknownSince = FrameTime.Never;
        }

        IsKnown = value is not null;
        EverKnown |= IsKnown;
        if (turns)
        {
            Holds = !Holds;
            held?.Turn(Holds, at);
            Turn(at, before, heardUntil);
        }
    }

    /// <summary>The longest time in which it was not known any more, up to a moment; null where it always was, once it was told.</summary>
    public UnknownTime? UnknownAt(FrameTime now)
    {
        // One that is off by a condition of its own was not lost.
        var silent = unknownSince.IsKnown ? lost : IsKnown && SilentAt(now) is { IsOff: false } last ? last : null;
        var from = unknownSince.IsKnown ? unknownSince : silent?.Last ?? now;
        return silent is not null && now - from > unknown.Longest ? new UnknownTime(from, now - from, silent, IsOver: false)
            : unknown.Count > 0 ? new UnknownTime(unknown.LongestFrom, unknown.Longest, lost!, IsOver: true)
            : null;
    }

    // Who told it last, where what all of them told is out of date.
    private Teller? SilentAt(FrameTime at)
    {
        Teller? latest = null;
        foreach (var teller in tellers)
        {
            if (teller.Last.IsKnown && !teller.IsStaleAt(at))
            {
                return null;
            }

            latest = teller.Last.IsKnown && (latest is null || teller.Last > latest.Last) ? teller : latest;
        }

        return latest;
    }

    private void BreakGaps()
    {
        foreach (var message in dependents)
        {
            foreach (var track in message.Tracks)
            {
                track.BreakGap();
            }
        }
    }

    private void Turn(FrameTime at, FrameTime before, HeardUntil heardUntil)
    {
        foreach (var message in dependents)
        {
            Turn(message.Unseen, message, null);
            foreach (var track in message.Tracks)
            {
                Turn(track.Expectation, message, track);
            }
        }

        void Turn(Expectation? expectation, DefinedMessage message, MessageTrack? track)
        {
            if (expectation is null)
            {
                return;
            }

            if (Holds)
            {
                expectation.Begin(at);
                return;
            }

            // It ended somewhere between the two frames that told it; what stopped in between may have stopped with it.
            var heard = heardUntil(message, track, at);
            expectation.End(at, heard < before ? heard : before);
        }
    }
}

/// <summary>Until when the bus of a message was heard: the moment itself, unless the bus is silent then.</summary>
/// <param name="message">The message.</param>
/// <param name="track">Its track; null where it did not come.</param>
/// <param name="at">The moment.</param>
internal delegate FrameTime HeardUntil(DefinedMessage message, MessageTrack? track, FrameTime at);

/// <summary>A stretch of time in which a condition was not known any more.</summary>
/// <param name="From">When it was told last.</param>
/// <param name="Length">For how long.</param>
/// <param name="Silent">Who tells it and fell silent.</param>
/// <param name="IsOver">Whether it was told again.</param>
internal readonly record struct UnknownTime(FrameTime From, FrameSpan Length, Teller Silent, bool IsOver);
