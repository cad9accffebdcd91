using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Adds the readings of one signal in a block to its tally. The physical value never falls (or, by scale, never rises) with the
/// key of a raw value, so the smallest and the largest key of the block decide about all its rows: where every key between
/// them is valid, no row needs to be looked at by itself. What that takes is kept together in 64 bytes: the plans of a thousand signals
/// would not stay in the processor's cache between one block of a message and the next.
/// </summary>
internal readonly struct SignalScan
{
    private readonly BitWindow window;
    private readonly ulong sign;
    private readonly byte lastByte;
    private readonly bool isPlain;
    private readonly bool isAlwaysOk;

    /// <summary>Takes from a plan what its blocks need.</summary>
    public SignalScan(SignalPlan plan)
    {
        window = plan.Window;
        sign = plan.Sign;
        isPlain = plan.IsPlain;
        isAlwaysOk = plan.Qualities is { IsEmpty: true };
        lastByte = (byte)Math.Min(plan.LastByte, byte.MaxValue);
    }

    /// <summary>Whether blocks can be scanned at once whose shortest payload has so many bytes.</summary>
    public bool Suits(int shortest) => isPlain && lastByte < shortest;

    /// <summary>Adds the whole block at once, or gives false where its rows are of different worth. Only where it <see cref="Suits"/>.</summary>
    /// <param name="plan">The signal.</param>
    /// <param name="block">At least one row.</param>
    /// <param name="tally">Where to.</param>
    public bool TryAdd(SignalPlan plan, MessageBlock block, SignalTally tally)
    {
        var (low, high) = block.Stride == Payload.ClassicCapacity && window.Bytes <= 2
            ? PlaneScan.Keys(block.Planes, in window, sign)
            : RowScan.Keys(block.Rows, block.Stride, in window, sign);
        var quality = SampleQuality.Ok;
        if (!isAlwaysOk && !plan.Qualities!.AreOk(low, high))
        {
            if (low != high)
            {
                return false;
            }

            quality = plan.Qualities.Of(low);
        }

        tally.Note(low == high ? low ^ sign : null);
        if (quality == SampleQuality.Ok)
        {
            tally.Valid += block.Count;
            if (tally.Keys.Widen(low, high))
            {
                var (atLow, atHigh) = (plan.Physical(low ^ sign), plan.Physical(high ^ sign));
                tally.Widen(Math.Min(atLow, atHigh), Math.Max(atLow, atHigh));
            }
        }
        else
        {
            tally.Of(quality).Add(block.Count, new FrameTime(block.Times[0]), new FrameTime(block.Times[^1]));
        }

        return true;
    }

    /// <summary>The range of the values in rows that all hold the signal; none where not every one of them is valid. Only where it <see cref="Suits"/>.</summary>
    /// <param name="plan">The signal.</param>
    /// <param name="rows">At least one.</param>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    public ValueRange Range(SignalPlan plan, ReadOnlySpan<byte> rows, int stride)
    {
        var (low, high) = RowScan.Keys(rows, stride, in window, sign);
        if (!isAlwaysOk && !plan.Qualities!.AreOk(low, high))
        {
            return ValueRange.None;
        }

        var (atLow, atHigh) = (plan.Physical(low ^ sign), plan.Physical(high ^ sign));
        return new ValueRange(Math.Min(atLow, atHigh), Math.Max(atLow, atHigh));
    }

    /// <summary>Adds the block row by row: the exact way, for every kind of signal.</summary>
    public static void AddEach(SignalPlan plan, MessageBlock block, SignalTally tally)
    {
        var largestRate = plan.Definition.LargestRate;
        for (var row = 0; row < block.Count; row++)
        {
            var at = new FrameTime(block.Times[row]);
            tally.Add(tally.Rate.Judge(plan.Read(block.Payload(row)), at, largestRate), at);
        }
    }
}
