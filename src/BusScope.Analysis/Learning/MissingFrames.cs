namespace BusScope.Analysis.Learning;

/// <summary>
/// That frames are missing in the recording: one sender may miss a frame, but when the alive counters of many senders jump at the same rate, it was the
/// recorder.
/// </summary>
/// <param name="Jumping">Counters that went on by two to four steps again and again.</param>
/// <param name="Counters">All counters that were found, one for each message.</param>
/// <param name="Share">In how many pairs of frames the middle one of them did: 0 to 1.</param>
public sealed record MissingFrames(int Jumping, int Counters, double Share)
{
    // Below the first, a counter has its breaks; fewer counters may have one sender. All are this program's choice.
    private const double LeastShare = 0.01;
    private const int FewestJumps = 3;
    private const int FewestCounters = 4;

    // Of a short counter a jump back is one of a few steps as well.
    private const int ShortestRound = 8;

    // So many of the counters jump at about the rate of the middle one.
    private const double SameRate = 2;
    private const double LeastAgreement = 0.5;

    /// <summary>Looks at the counters of all messages; null where they say nothing of the kind.</summary>
    public static MissingFrames? Find(IEnumerable<LearnedMessage> messages)
    {
        ArgumentNullException.ThrowIfNull(messages);
        var counters = messages.Select(message => message.Counter).OfType<Counters.FoundCounter>().Where(counter => counter.Definition.Modulo >= ShortestRound).ToList();
        var shares = counters.Where(counter => counter.Losses >= FewestJumps && counter.Losses >= counter.Pairs * LeastShare)
            .Select(counter => counter.Losses / (double)counter.Pairs).Order().ToList();
        if (shares.Count < FewestCounters)
        {
            return null;
        }

        var middle = shares[shares.Count / 2];
        var agreeing = shares.Count(share => share * SameRate >= middle && share <= middle * SameRate);
        return agreeing >= FewestCounters && agreeing >= counters.Count * LeastAgreement ? new MissingFrames(shares.Count, counters.Count, middle) : null;
    }

    /// <summary>What a person is to know of it.</summary>
    public override string ToString() => FormattableString.Invariant(
        $"Frames are missing in what was learned from, about {Share * 100:0} % of them: {Jumping} of {Counters} counters jump at the same rate. Counters that jump are not demanded. Record again without losses");
}
