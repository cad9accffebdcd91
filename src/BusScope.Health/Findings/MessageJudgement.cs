using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What a defined message comes to as a whole, over all its senders.</summary>
/// <param name="Message">Which.</param>
/// <param name="State">The best state of its senders: one that delivers is enough. Null where nothing is expected in time.</param>
/// <param name="IsTimed">Whether the frames suffice to say so.</param>
/// <param name="Row">The index of that sender's row in the report.</param>
internal sealed record MessageJudgement(DefinedMessage Message, MessageState? State, bool IsTimed, int Row)
{
    // How good a state is for whoever lives on the message, best first.
    private static readonly MessageState[] Order =
        [MessageState.Fresh, MessageState.Late, MessageState.Idle, MessageState.Awaited, MessageState.Stale, MessageState.Missing];

    /// <summary>Whether its payload rested where it used to live, so that nobody can say whether its sender does.</summary>
    public bool IsAtRest { get; init; }

    /// <summary>Whether its condition was known for so long that its absence would have been seen.</summary>
    public bool IsConditionKnown { get; init; } = true;

    /// <summary>Whether it began late together with others, so that nobody can say whether it should have been there before.</summary>
    public bool BeganWithOthers { get; init; }

    /// <summary>Whether the recording of its bus holds all that it should, under the name of that bus.</summary>
    public bool IsRecorded { get; init; } = true;

    /// <summary>Whether its sender said "not available" of everything, what never changed in the healthy car included.</summary>
    public bool NeverTold { get; init; }

    /// <summary>For how long it was silent at the end, where that leaves open whether it stopped; otherwise null.</summary>
    public FrameSpan? OpenSilence { get; init; }

    /// <summary>Whether anybody can vouch for it.</summary>
    public bool IsJudged => IsTimed && OpenSilence is null && IsConditionKnown && IsRecorded && !IsAtRest && !NeverTold && !BeganWithOthers;

    /// <summary>Whether it was judged by when it came, or that it did not.</summary>
    public bool ByTime => State is not null && IsTimed;

    /// <summary>Whether frames came whose content was held against anything: a counter, a checksum, what lives, limits of a value.</summary>
    public bool ByContent =>
        Message.Tracks.Exists(track => track.Frames > 0) && (Message.IsCheckedByContent || (!IsAtRest && Message.Definition.Lives.Length > 0));

    /// <summary>
    /// Whether the frames decided anything about it: that it came in time or did not, or what its counter, checksum or signals say.
    /// A right length alone says nothing: any frame of the identifier has one.
    /// </summary>
    public bool SaysAnything =>
        ByTime
        || (Message.Tracks.Exists(track => track.Frames > 0)
            && (Message.Definition.Counter is not null || Message.Definition.Checksum is not null || Message.Definition.Signals.Count > 0));

    /// <summary>0 for the best state, 5 for the worst.</summary>
    public static int RankOf(MessageState state) => Array.IndexOf(Order, state);
}
