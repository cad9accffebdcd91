using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// In which frames of the session something was first and last seen to be wrong with a message. Tallies know times; the numbers of
/// the frames are looked up by time while their block is at hand. Only where that is asked for.
/// </summary>
internal sealed class FrameNumbers
{
    private readonly Occurrences[] tallies;
    private readonly GapTally[] gaps;
    private Place[] places;
    private Place[] gapPlaces;

    // The last frame before the block at hand: where a gap began that ends in it.
    private (long Time, long Number) before;

    /// <summary>Numbers for what a track counts; made anew when its definition changes.</summary>
    public FrameNumbers(Occurrences wrongLength, MessageTally? tally, Expectation? expectation)
    {
        tallies =
        [
            wrongLength,
            .. tally is null ? [] : (Occurrences[])[tally.CounterRepeated, tally.CounterSkipped, tally.CounterMissed, tally.ChecksumBad],
            .. tally?.Signals.SelectMany(signal => (Occurrences[])[signal.OutOfRange, signal.NotAvailable, signal.Error, signal.Implausible]) ?? [],
        ];
        places = new Place[tallies.Length];
        gaps = expectation is null ? [] : [expectation.LateGaps, expectation.StaleGaps];
        gapPlaces = new Place[gaps.Length];
    }

    /// <summary>The same numbers for copies of what the track counts.</summary>
    public FrameNumbers For(Occurrences wrongLength, MessageTally? tally, Expectation? expectation) => new(wrongLength, tally, expectation)
    {
        places = [.. places],
        gapPlaces = [.. gapPlaces],
        before = before,
        Earliest = Earliest,
    };

    /// <summary>The number of the first frame that was looked up, or null.</summary>
    public long? Earliest { get; private set; }

    /// <summary>The number of the latest frame, or 0.</summary>
    public long Latest => before.Number;

    /// <summary>Looks up the frames that were just counted.</summary>
    /// <param name="times">Their times in nanoseconds.</param>
    /// <param name="numbers">Their numbers in the session, from 1.</param>
    public void Note(ReadOnlySpan<long> times, ReadOnlySpan<long> numbers)
    {
        for (var i = 0; i < tallies.Length; i++)
        {
            if (tallies[i] is var seen && seen.Count != places[i].Count)
            {
                Put(ref places[i], seen.Count, seen.First, seen.Last, times, numbers);
            }
        }

        for (var i = 0; i < gaps.Length; i++)
        {
            if (gaps[i] is var seen && seen.Count != gapPlaces[i].Count)
            {
                Put(ref gapPlaces[i], seen.Count, seen.First, seen.Last, times, numbers);
            }
        }

        Earliest ??= numbers[0];
        before = (times[^1], numbers[^1]);
    }

    /// <summary>The first and the last frame in which it was seen; null where that is not known.</summary>
    public (long? First, long? Last) Of(Occurrences seen) => Array.IndexOf(tallies, seen) is var i and >= 0 ? places[i].Frames : default;

    /// <summary>The frame before the first gap, and the one that ended the last; null where that is not known.</summary>
    public (long? First, long? Last) Of(GapTally seen) => Array.IndexOf(gaps, seen) is var i and >= 0 ? gapPlaces[i].Frames : default;

    private void Put(ref Place place, long count, FrameTime first, FrameTime last, ReadOnlySpan<long> times, ReadOnlySpan<long> numbers)
    {
        place.Count = count;
        place.First = place.First == 0 ? Find(first, times, numbers) : place.First;
        place.Last = Find(last, times, numbers);
    }

    private long Find(FrameTime time, ReadOnlySpan<long> times, ReadOnlySpan<long> numbers) =>
        times.LastIndexOf(time.Nanoseconds) is var row and >= 0 ? numbers[row]
        : before.Time == time.Nanoseconds ? before.Number
        : 0;

    private struct Place
    {
        public long Count;
        public long First;
        public long Last;

        public readonly (long? First, long? Last) Frames => (First == 0 ? null : First, Last == 0 ? null : Last);
    }
}
