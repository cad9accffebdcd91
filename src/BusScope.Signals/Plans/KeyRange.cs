namespace BusScope.Signals.Plans;

/// <summary>The smallest and the largest of the keys seen so far (see <see cref="RawQualities"/>); of none, no key lies between them.</summary>
internal struct KeyRange
{
    private ulong smallest = ulong.MaxValue;
    private ulong largest;

    public KeyRange()
    {
    }

    /// <summary>Takes in the smallest and the largest of further keys.</summary>
    /// <returns>Whether one of them lies outside of what was seen.</returns>
    public bool Widen(ulong low, ulong high)
    {
        if (smallest <= low && high <= largest)
        {
            return false;
        }

        (smallest, largest) = (Math.Min(smallest, low), Math.Max(largest, high));
        return true;
    }
}
