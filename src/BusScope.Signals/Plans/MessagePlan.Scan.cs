using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

public sealed partial class MessagePlan
{
    /// <summary>
    /// Adds a block of frames to the tally, just as if each had been read by itself; frames too short for counter, checksum or a
    /// signal are passed over by that. Allocates nothing.
    /// </summary>
    public void Scan(MessageBlock block, MessageTally tally)
    {
        ArgumentNullException.ThrowIfNull(block);
        ArgumentNullException.ThrowIfNull(tally);
        if (block.Count == 0)
        {
            return;
        }

        tally.Rows += block.Count;
        var shortest = Smallest(block.Lengths);
        if (counter is not null && !(shortest > counter.Window.LastByte && counter.StepsThrough(block, tally)))
        {
            ScanCounters(counter, block, tally);
        }

        if (Checksum is not null)
        {
            ScanChecksums(block, shortest, tally);
        }

        for (var i = 0; i < signals.Length; i++)
        {
            if (!(scans[i].Suits(shortest) && scans[i].TryAdd(signals[i], block, tally.Signals[i])))
            {
                SignalScan.AddEach(signals[i], block, tally.Signals[i]);
            }
        }
    }

    private static int Smallest(ReadOnlySpan<byte> lengths)
    {
        var smallest = byte.MaxValue;
        if (lengths.Length >= Vector128<byte>.Count)
        {
            var smallests = Vector128.Create(byte.MaxValue);
            for (; lengths.Length >= Vector128<byte>.Count; lengths = lengths[Vector128<byte>.Count..])
            {
                smallests = Vector128.Min(smallests, Vector128.Create(lengths));
            }

            for (var i = 0; i < Vector128<byte>.Count; i++)
            {
                smallest = Math.Min(smallest, smallests[i]);
            }
        }

        foreach (var length in lengths)
        {
            smallest = Math.Min(smallest, length);
        }

        return smallest;
    }

    private static void ScanCounters(CounterPlan counter, MessageBlock block, MessageTally tally)
    {
        for (var row = 0; row < block.Count; row++)
        {
            if (block.Payload(row) is var payload && payload.Length > counter.Window.LastByte)
            {
                counter.Step(counter.Read(payload), new FrameTime(block.Times[row]), tally);
            }
        }
    }

    private void ScanChecksums(MessageBlock block, int shortest, MessageTally tally)
    {
        if (residue is not null && block.Stride == Payload.ClassicCapacity && shortest > Checksum!.LastByte)
        {
            residue.Scan(block, tally.ChecksumBad);
            return;
        }

        for (var row = 0; row < block.Count; row++)
        {
            if (ChecksumHolds(block.Payload(row)) == false)
            {
                tally.ChecksumBad.Add(new FrameTime(block.Times[row]));
            }
        }
    }
}
