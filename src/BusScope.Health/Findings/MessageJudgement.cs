using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What a defined message comes to as a whole, over all its senders.</summary>
/// <param name="Message">Which.</param>
/// <param name="State">The best state of its senders: one that delivers is enough. Null where nothing is expected in time.</param>
/// <param name="IsJudged">Whether the frames suffice to say so.</param>
/// <param name="Row">The index of that sender's row in the report.</param>
internal sealed record MessageJudgement(DefinedMessage Message, MessageState? State, bool IsJudged, int Row)
{
    // How good a state is for whoever lives on the message, best first.
    private static readonly MessageState[] Order =
        [MessageState.Fresh, MessageState.Late, MessageState.Idle, MessageState.Awaited, MessageState.Stale, MessageState.Missing];

    /// <summary>0 for the best state, 5 for the worst.</summary>
    public static int RankOf(MessageState state) => Array.IndexOf(Order, state);
}
