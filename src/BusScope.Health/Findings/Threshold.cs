namespace BusScope.Health.Findings;

/// <summary>
/// How many wrong frames make a fault of what is otherwise a warning. A receiver forgives single ones: it keeps the last good
/// value until the message is stale. The figures are this program's choice, after the debouncing that receivers usually do.
/// </summary>
/// <param name="AtLeast">Fewer are never a fault.</param>
/// <param name="Share">More than this share of all frames is a fault.</param>
/// <param name="InStretch">As many as this in a stretch of some 512 frames are a fault.</param>
internal sealed record Threshold(long AtLeast, double Share, long InStretch)
{
    /// <summary>For checksums and lengths: the receiver throws the frame away.</summary>
    public static readonly Threshold Rejected = new(AtLeast: 3, Share: 0.001, InStretch: 3);

    /// <summary>For counters: a lost frame now and then is a matter of the bus and of the recording.</summary>
    public static readonly Threshold Counter = new(AtLeast: 3, Share: 0.01, InStretch: 16);

    /// <summary>For values.</summary>
    public static readonly Threshold Value = new(AtLeast: 3, Share: 0.01, InStretch: long.MaxValue);

    /// <summary>For values that the sender says are not available: a module that wakes up begins with them.</summary>
    public static readonly Threshold NotAvailable = new(AtLeast: 3, Share: 0.5, InStretch: long.MaxValue);

    /// <summary>For late frames: beyond it late frames are more than an odd one.</summary>
    public static readonly Threshold Late = new(AtLeast: 3, Share: 0.01, InStretch: long.MaxValue);

    /// <summary>For frames in between: fewer may be sent by hand.</summary>
    public static readonly Threshold Extra = new(AtLeast: 8, Share: 0.01, InStretch: long.MaxValue);

    /// <summary>Whether so many wrong frames are more than forgivable.</summary>
    /// <param name="wrong">Wrong frames.</param>
    /// <param name="all">All frames.</param>
    /// <param name="worstStretch">The most wrong ones in one stretch.</param>
    public bool IsExceeded(long wrong, long all, long worstStretch = 0) =>
        wrong >= AtLeast && (wrong > Share * all || worstStretch >= InStretch);
}
