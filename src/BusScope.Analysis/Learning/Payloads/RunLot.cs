namespace BusScope.Analysis.Learning.Payloads;

/// <summary>
/// The lots by which runs of payloads are kept: as good as random, and the same in every run of the program. Counters, pages and everything else
/// that goes round has a period, most often a power of two; a choice with a period of its own (every second run) would see the same part of the round always.
/// </summary>
internal static class RunLot
{
    /// <summary>The lot of a run.</summary>
    /// <param name="run">The run's number, from 0.</param>
    public static ulong Of(long run)
    {
        // The steps of a number by the golden ratio, mixed until each bit of the result depends on each of the number (SplitMix64).
        var mixed = unchecked(((ulong)run + 1) * 0x9E3779B97F4A7C15);
        mixed = unchecked((mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9);
        mixed = unchecked((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB);
        return mixed ^ (mixed >> 31);
    }

    /// <summary>How many frames are passed over behind a run: none to all but one of another run.</summary>
    /// <param name="lot">The run's lot; its lower bits are drawn apart from the upper ones, by which runs are kept.</param>
    /// <param name="run">Frames of a run.</param>
    public static int Skip(ulong lot, int run) => (int)(lot % (ulong)run);
}
