using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Frames that were given their times later than they came. It shows in gaps of a message that are shorter than one of its frames takes on the wire: no bus
/// carries that (ISO 11898-1). All times of a recorder with a coarse clock are so, as many as fall into one step; one that stood still gives all that waited
/// one time. Where the count stands still as well, the frame is in the recording twice. The figures are this program's choice.
/// </summary>
internal static class LateStamps
{
    private const int FewestMessages = 3;
    private const long FewestTooShort = 3;
    private const double ShareOfMessages = 0.6;

    // ISO 11898-1: what a data frame has beside its data at the least, and the fastest rate there is where nobody says which. Times are off by half a frame anyway.
    private const int BitsBesideData = 47;
    private const double FastestRate = 1_000_000;
    private const double PartOfFrame = 0.5;

    // The gaps between steps are longer than the period; those over a pause of the recorder are so as well, but rare.
    private const double SmallestStep = 1.2;
    private const double LargestStep = 2.5;
    private const int ShortestPause = 5;
    private const double Allowance = 1.2;

    // Most of the frames that are there twice repeat their count.
    private const double ShareRepeated = 0.8;

    /// <summary>How many gaps of a message are shorter than a frame of it takes.</summary>
    public static long GapsTooShort(MessageTrack track)
    {
        Span<long> counts = stackalloc long[1];
        _ = track.Periods.Spread(0, LeastGap(track), counts);
        return counts[0];
    }

    /// <summary>The error, or null.</summary>
    public static StampError? On(BusTrack bus)
    {
        // Asked with every picture of a live bus, where hardly ever a gap is so short.
        var odd = bus.Tracks.FindAll(track => track.ShowsPeriod && track.Periods.Shortest < LeastGap(track));
        if (odd.Count < FewestMessages)
        {
            return null;
        }

        var seen = odd.ConvertAll(track => new Seen(track, GapsTooShort(track))).FindAll(each => each.TooShort >= FewestTooShort);
        if (seen.Count < FewestMessages || Together.AreOfOneSender(seen.ConvertAll(each => each.Track.Defined!)))
        {
            return null;
        }

        return Doubled(seen) ?? Steps(bus, seen) ?? Stalls(bus, seen);
    }

    private static StampError? Doubled(List<Seen> seen)
    {
        var counted = seen.FindAll(each => each.Track is { Defined.Definition.Counter: not null, Tally: not null });
        var repeated = counted.FindAll(each => each.Track.Tally!.CounterRepeated.Count >= ShareRepeated * each.TooShort);
        return repeated.Count < FewestMessages || repeated.Count < ShareOfMessages * counted.Count
            ? null
            : new StampError(FindingCodes.RowsDoubled, FrameSpan.Zero, seen.Sum(each => each.TooShort), seen.Count);
    }

    private static StampError? Steps(BusTrack bus, List<Seen> seen)
    {
        var step = Middle(seen, each => each.UsualStep);
        return Middle(seen, each => each.UsualStep / each.Every) < SmallestStep || Middle(seen, each => each.Track.Periods.Longest / each.UsualStep) > LargestStep
            || !AreMost(bus, seen)
            ? null
            : new StampError(FindingCodes.TimesInSteps, new FrameSpan((long)step), 1, seen.Count);
    }

    private static StampError? Stalls(BusTrack bus, List<Seen> seen)
    {
        var paused = seen.FindAll(each => each.Pause >= ShortestPause * each.Every);
        var pause = paused.Count < FewestMessages ? 0 : Middle(paused, each => each.Pause);
        if (pause == 0 || !AreMost(bus, paused))
        {
            return null;
        }

        var fastest = paused.MinBy(each => each.Every)!;
        Span<long> shorter = [0];
        var (_, longer) = fastest.Track.Periods.Spread(0, (long)(ShortestPause * fastest.Every), shorter);
        return new StampError(FindingCodes.RecorderStalled, new FrameSpan((long)pause), Math.Max(1, longer), seen.Count);
    }

    // Whoever comes as often shows it as well; what comes less often has more frames of others between its own.
    private static bool AreMost(BusTrack bus, List<Seen> seen)
    {
        var usual = Middle(seen, each => each.Every);
        return seen.Count(each => each.Every <= usual) >= ShareOfMessages * bus.Tracks.Count(track => track.ShowsPeriod && track.Defined!.Definition.Timing.Every!.Value.Nanoseconds <= usual);
    }

    private static long LeastGap(MessageTrack track) =>
        (long)(PartOfFrame * (BitsBesideData + (8 * Math.Min((int)track.Length, 8))) / (track.Bus.Bus.BitRate ?? FastestRate) * FrameSpan.NanosecondsPerSecond);

    private static double Middle(List<Seen> seen, Func<Seen, double> of)
    {
        var all = seen.ConvertAll(each => of(each));
        all.Sort();
        return all[all.Count / 2];
    }

    private sealed record Seen(MessageTrack Track, long TooShort)
    {
        public double Every { get; } = Track.Defined!.Definition.Timing.Every!.Value.Nanoseconds;

        // A longer pause than what came at once afterwards makes up for was one of the senders.
        public double Pause => Math.Min(Track.Periods.Longest, (Allowance * TooShort * Every) + Every);

        // The middle one of the gaps that a bus can have.
        public double UsualStep { get; } = Track.Periods.Quantile((TooShort + Track.Periods.Count) / 2.0 / Track.Periods.Count);
    }
}
