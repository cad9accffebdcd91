using BusScope.Frames;

namespace BusScope.Signals.Plans;

public sealed partial class MessagePlan
{
    /// <summary>Adds a block of frames of the right length to the tally. Allocates nothing.</summary>
    public void Scan(MessageBlock block, MessageTally tally)
    {
        ArgumentNullException.ThrowIfNull(block);
        ArgumentNullException.ThrowIfNull(tally);
        tally.Rows += block.Count;
        for (var row = 0; row < block.Count; row++)
        {
            ScanRow(block.Payload(row), new FrameTime(block.Times[row]), tally);
        }
    }

    private void ScanRow(ReadOnlySpan<byte> payload, FrameTime at, MessageTally tally)
    {
        if (Counter(payload) is { } value)
        {
            counter!.Step(value, at, tally);
        }

        if (ChecksumHolds(payload) == false)
        {
            tally.ChecksumBad.Add(at);
        }

        for (var i = 0; i < signals.Length; i++)
        {
            var signal = tally.Signals[i];
            signal.Add(signal.Rate.Judge(signals[i].Read(payload), at, signals[i].Definition.LargestRate), at);
        }
    }
}
