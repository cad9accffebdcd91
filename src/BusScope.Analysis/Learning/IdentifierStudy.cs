using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Analysis.Learning;

/// <summary>Everything that is kept of one identifier on one bus while captures are read: bounded, whatever their size.</summary>
public sealed class IdentifierStudy
{
    private const int MostLengths = 4;

    private readonly long[] gaps = new long[64];
    private readonly long[] lengths = new long[Payload.Capacity + 1];
    private readonly byte[] changed = new byte[Payload.Capacity];
    private readonly byte[] first = new byte[Payload.Capacity];
    private readonly SortedDictionary<int, PayloadSamples> samples = [];
    private readonly PeriodStatistics periods = new();
    private int waitingGaps;

    internal IdentifierStudy(string bus, CanId id)
    {
        Bus = bus;
        Id = id;
    }

    /// <summary>The name of the bus.</summary>
    public string Bus { get; }

    /// <summary>The identifier.</summary>
    public CanId Id { get; }

    /// <summary>Data frames seen.</summary>
    public long Frames { get; private set; }

    /// <summary>When first, in the capture's time.</summary>
    public FrameTime First { get; private set; } = FrameTime.Never;

    /// <summary>When last, in the capture's time.</summary>
    public FrameTime Last { get; private set; } = FrameTime.Never;

    /// <summary>The length that most frames have.</summary>
    public int Length => Array.IndexOf(lengths, lengths.Max());

    /// <summary>Whether frames of other lengths came as well.</summary>
    public bool LengthVaries => lengths.Count(count => count > 0) > 1;

    /// <summary>The gaps between frames.</summary>
    public PeriodStatistics Periods
    {
        get
        {
            FlushGaps();
            return periods;
        }
    }

    /// <summary>For each payload byte, the bits that ever differed from the first frame.</summary>
    public ReadOnlySpan<byte> ChangedBits => changed;

    /// <summary>The first payload seen.</summary>
    public ReadOnlySpan<byte> FirstPayload => first;

    /// <summary>Payloads of the usual length, or null where none was kept.</summary>
    public PayloadSamples? Samples => samples.GetValueOrDefault(Length);

    internal void Accept(in Frame frame)
    {
        var data = frame.Data;
        if (Frames++ == 0)
        {
            data.CopyTo(first);
        }
        else
        {
            for (var i = 0; i < data.Length; i++)
            {
                changed[i] |= (byte)(data[i] ^ first[i]);
            }
        }

        NoteTime(frame.Time);
        lengths[data.Length]++;
        if (!samples.TryGetValue(data.Length, out var kept) && samples.Count < MostLengths)
        {
            samples.Add(data.Length, kept = new PayloadSamples(data.Length));
        }

        kept?.Add(data);
    }

    /// <summary>A new capture begins: its clock has nothing to do with the last one's.</summary>
    internal void BreakTime() => Last = FrameTime.Never;

    private void NoteTime(FrameTime time)
    {
        First = First.IsKnown ? First : time;
        if (Last.IsKnown && time >= Last)
        {
            gaps[waitingGaps++] = (time - Last).Nanoseconds;
            if (waitingGaps == gaps.Length)
            {
                FlushGaps();
            }
        }

        Last = time;
    }

    private void FlushGaps()
    {
        periods.Add(gaps.AsSpan(0, waitingGaps));
        waitingGaps = 0;
    }
}
