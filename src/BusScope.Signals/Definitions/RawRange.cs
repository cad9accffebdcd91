namespace BusScope.Signals.Definitions;

/// <summary>Raw values from one to another, both included; compared as the unsigned bits of the field.</summary>
/// <param name="From">The smallest.</param>
/// <param name="To">The largest, not below <paramref name="From"/>.</param>
public readonly record struct RawRange(ulong From, ulong To)
{
    /// <summary>Whether the raw bits lie in the range.</summary>
    public bool Contains(ulong raw) => raw - From <= To - From;
}
