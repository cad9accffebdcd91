namespace BusScope.Frames.Wire;

/// <summary>How many bits a frame takes on the wire, by the bit rate at which they go.</summary>
/// <param name="Nominal">Bits at the bit rate of the arbitration phase.</param>
/// <param name="Data">
/// Bits at the bit rate of the CAN FD data phase; 0 without a bit rate switch. The rate changes inside the BRS bit and inside the
/// CRC delimiter, each at its sample point (ISO 11898-1); the BRS bit is counted here as nominal and the delimiter as data,
/// which gives the exact time of both together where the sample points are alike.
/// </param>
public readonly record struct WireBits(int Nominal, int Data)
{
    /// <summary>All bits.</summary>
    public int Total => Nominal + Data;

    /// <summary>How long the bits take.</summary>
    /// <param name="bitRate">Bits per second of the arbitration phase, above 0.</param>
    /// <param name="dataBitRate">Bits per second of the data phase; null: not known, the data bits are taken at the nominal rate, which is an upper bound.</param>
    public FrameSpan Duration(long bitRate, long? dataBitRate = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(bitRate);
        return FrameSpan.FromSeconds((Nominal / (double)bitRate) + (Data / (double)(dataBitRate ?? bitRate)));
    }
}
