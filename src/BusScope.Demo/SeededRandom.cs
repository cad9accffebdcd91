namespace BusScope.Demo;

/// <summary>
/// A small random number generator (SplitMix64: Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014;
/// constants from memory). Our own, so that a seed gives the same drive on every runtime, for ever.
/// </summary>
internal sealed class SeededRandom(ulong seed)
{
    private ulong state = seed;

    /// <summary>A generator for a part of the simulation: what it draws does not depend on how often the others draw.</summary>
    public static SeededRandom For(ulong seed, string part)
    {
        // FNV-1a over the name; string.GetHashCode differs from run to run.
        var hash = 14695981039346656037UL;
        foreach (var c in part)
        {
            hash = (hash ^ c) * 1099511628211UL;
        }

        return new SeededRandom(seed ^ hash);
    }

    /// <summary>64 random bits.</summary>
    public ulong Next()
    {
        state += 0x9E3779B97F4A7C15UL;
        var z = state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }

    /// <summary>Evenly spread from 0 to 1, 1 excluded.</summary>
    public double Unit() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Evenly spread between two numbers.</summary>
    public double Between(double from, double to) => from + ((to - from) * Unit());

    /// <summary>About normally spread around 0 with the given standard deviation, never beyond 3.5 of them (sum of four).</summary>
    public double Spread(double deviation) =>
        (Unit() + Unit() + Unit() + Unit() - 2) * 1.7320508075688772 * deviation;
}
