namespace BusScope.Health.Tracking;

/// <summary>
/// Whether frames were sent while none was seen on a bus. Over a pause of the senders an alive counter goes on by one; over a hole in
/// the recording it goes on by as many frames as were sent meanwhile. One counter may do so by chance, several do not.
/// </summary>
internal sealed class PauseEvidence
{
    // A counter of m values lies within one of what is expected by chance in 3 of m cases. Seven bits are 1 in 128. This program's
    // choice.
    private const int Tolerance = 1;
    private const double ChanceWidth = (2 * Tolerance) + 1;
    private const double EnoughBits = 7;
    private const double LargestShareAgainst = 0.2;

    private double bits;
    private long wentOn;
    private long other;

    /// <summary>The same evidence, which goes on by itself.</summary>
    public PauseEvidence Copy() => (PauseEvidence)MemberwiseClone();

    /// <summary>Whether the counters prove that frames were sent and not seen.</summary>
    public bool ShowsLoss => bits >= EnoughBits && other <= LargestShareAgainst * (wentOn + other);

    /// <summary>How often a counter went on by as many as were sent, over all pauses.</summary>
    public long Counters => wentOn;

    /// <summary>Takes in what one counter did over a pause.</summary>
    /// <param name="steps">Steps of the counter from the frame before the pause to the frame after it; null where no number of steps leads there.</param>
    /// <param name="sent">Frames that the message's period makes of the pause.</param>
    /// <param name="modulo">Values of the counter.</param>
    public void Add(int? steps, long sent, int modulo)
    {
        // Where the frames sent bring the counter back to the next value, it says nothing.
        if (modulo <= ChanceWidth || Distance(1, sent, modulo) <= Tolerance)
        {
            return;
        }

        if (steps is { } gone && Distance(gone, sent, modulo) <= Tolerance)
        {
            wentOn++;
            bits += Math.Log2(modulo / ChanceWidth);
        }
        else
        {
            other++;
        }
    }

    private static long Distance(long left, long right, int modulo)
    {
        var apart = Math.Abs(left - right) % modulo;
        return Math.Min(apart, modulo - apart);
    }
}
