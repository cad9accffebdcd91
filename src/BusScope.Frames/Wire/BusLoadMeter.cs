namespace BusScope.Frames.Wire;

/// <summary>
/// The load of one bus from the exact length of its frames: the share of time in which the bus was busy, interframe space
/// included, in per cent. Time comes with the frames. Allocates nothing; used by one thread at a time. See docs/bus-load.md.
/// </summary>
public sealed class BusLoadMeter
{
    // A clock that falls back further than this was started anew; less is jitter, or buses read one after the other.
    private const long LargestStepBack = FrameSpan.NanosecondsPerSecond;
    private const long Second = FrameSpan.NanosecondsPerSecond;
    private const double Percent = 100;

    private readonly double secondsPerBit;
    private readonly double secondsPerDataBit;
    private long nominalBits;
    private long dataBits;
    private long secondNominal;
    private long secondData;
    private long runStart;
    private long secondStart;
    private long latest;
    private double earlierRuns;

    /// <summary>A meter that has seen nothing yet.</summary>
    /// <param name="bitRate">Bits per second of the arbitration phase, above 0.</param>
    /// <param name="dataBitRate">Bits per second of the CAN FD data phase; null: not known, data bits are taken at the nominal rate, so that the load is an upper bound.</param>
    public BusLoadMeter(long bitRate, long? dataBitRate = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(bitRate);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(dataBitRate ?? bitRate, nameof(dataBitRate));
        BitRate = bitRate;
        DataBitRate = dataBitRate;
        secondsPerBit = 1.0 / bitRate;
        secondsPerDataBit = 1.0 / (dataBitRate ?? bitRate);
    }

    /// <summary>A meter for a bus; null where its bit rate is not known.</summary>
    public static BusLoadMeter? Of(Bus bus)
    {
        ArgumentNullException.ThrowIfNull(bus);
        return bus.BitRate is { } rate and > 0 ? new BusLoadMeter(rate, bus.DataBitRate is > 0 and var data ? data : null) : null;
    }

    /// <summary>Bits per second of the arbitration phase.</summary>
    public long BitRate { get; }

    /// <summary>Bits per second of the data phase, where known.</summary>
    public long? DataBitRate { get; }

    /// <summary>Whether any time was met.</summary>
    public bool HasStarted { get; private set; }

    /// <summary>All bits so far.</summary>
    public long Bits => nominalBits + dataBits;

    /// <summary>For how many seconds the bus was busy so far, interframe space included.</summary>
    public double BusySeconds => Busy(nominalBits, dataBits);

    /// <summary>The load over the whole time in per cent; null while no time has passed.</summary>
    public double? Mean
    {
        get
        {
            var seconds = earlierRuns + ((latest - runStart) / (double)Second);
            return HasStarted && seconds > 0 ? Percent * Busy(nominalBits, dataBits) / seconds : null;
        }
    }

    /// <summary>The busiest whole second so far in per cent, seconds counted from the start; null before one is over.</summary>
    public double? Peak { get; private set; }

    /// <summary>The latest whole second in per cent; null before one is over.</summary>
    public double? Latest { get; private set; }

    /// <summary>A meter that has seen the same and goes on by itself.</summary>
    public BusLoadMeter Copy() => (BusLoadMeter)MemberwiseClone();

    /// <summary>Takes in a frame. An error report takes no bits but tells the time.</summary>
    public void Add(in Frame frame)
    {
        Advance(frame.Time);
        var bits = WireLength.Of(frame);
        nominalBits += bits.Nominal;
        dataBits += bits.Data;
        secondNominal += bits.Nominal;
        secondData += bits.Data;
    }

    /// <summary>
    /// Lets time go on without a frame, so that silence counts as no load. Before the first frame: from here on counts. A time a
    /// little earlier than the latest is taken as the latest; one more than a second earlier starts a new run of the clock.
    /// </summary>
    public void Advance(FrameTime now)
    {
        var time = now.Nanoseconds;
        if (!HasStarted)
        {
            HasStarted = true;
            (runStart, secondStart, latest) = (time, time, time);
            return;
        }

        if (time > latest)
        {
            latest = time;
            if (time - secondStart >= Second)
            {
                EndSeconds(time);
            }
        }
        else if (latest - time > LargestStepBack)
        {
            // The second that was running is not whole: it counts in the mean only.
            earlierRuns += (latest - runStart) / (double)Second;
            (runStart, secondStart, latest) = (time, time, time);
            (secondNominal, secondData) = (0, 0);
        }
    }

    private void EndSeconds(long time)
    {
        var whole = (time - secondStart) / Second;
        var load = Percent * Busy(secondNominal, secondData);
        Peak = Math.Max(Peak ?? 0, load);

        // After a gap, the second that ended last had no frame at all.
        Latest = whole == 1 ? load : 0;
        secondStart += whole * Second;
        (secondNominal, secondData) = (0, 0);
    }

    private double Busy(long nominal, long data) => (nominal * secondsPerBit) + (data * secondsPerDataBit);
}
