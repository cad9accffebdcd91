using System.Globalization;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with what the frames of one sender say.</summary>
internal readonly struct ContentFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    private string Name => message.Definition.Name;

    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        Count(FindingCodes.WrongLength, track.Frames, Threshold.Rejected, track.LengthStretch.Worst, WrongLength(), track.WrongLength);
        if (track.Tally is not { } tally)
        {
            return;
        }

        Count(FindingCodes.ChecksumWrong, tally.Rows, Threshold.Rejected, track.ChecksumStretch.Worst, "a wrong checksum", tally.ChecksumBad);
        // Two senders are told already, and break any counter.
        if (SenderCount.Of(track) != 2)
        {
            Count(FindingCodes.CounterRepeated, tally.Rows, Threshold.Counter, track.CounterStretch.Worst, "a counter that stood still", tally.CounterRepeated);
            Skipped(tally);
        }

        for (var i = 0; i < tally.Signals.Length; i++)
        {
            Signal(message.Definition.Signals[i], tally.Signals[i]);
        }
    }

    private void Skipped(MessageTally tally)
    {
        // A recording in which frames are missing is told by itself; the jump of the counter over them is not told again.
        const string what = "a counter that jumped";
        var loss = tally.CounterSkipped.Count + tally.CounterMissed.Count > 0 ? ScatteredLoss.On(track.Bus) : null;
        if (loss is null)
        {
            Count(FindingCodes.CounterSkipped, tally.Rows, Threshold.Counter, track.CounterStretch.Worst, what, tally.CounterSkipped, tally.CounterMissed);
        }
        else if (!loss.Explains(message.Definition.Timing, tally))
        {
            Count(FindingCodes.CounterSkipped, tally.Rows, Threshold.Counter, stretch: 0, what, tally.CounterSkipped);
        }
    }

    private string WrongLength()
    {
        var (shortest, longest) = track.WrongLengths;
        return string.Create(CultureInfo.InvariantCulture, $"{(shortest == longest ? $"{shortest}" : $"{shortest} to {longest}")} instead of {message.Definition.Length} bytes");
    }

    private void Signal(SignalDefinition signal, SignalTally tally)
    {
        var readings = tally.Valid + tally.OutOfRange.Count + tally.NotAvailable.Count + tally.Error.Count + tally.Implausible.Count;
        if (readings == tally.Valid)
        {
            return;
        }

        Value(FindingCodes.ValueError, signal, tally.Error, readings, Threshold.Value, "says that its sensor is at fault");
        Value(FindingCodes.ValueOutOfRange, signal, tally.OutOfRange, readings, Threshold.Value, "is out of range");
        Value(FindingCodes.ValueImplausible, signal, tally.Implausible, readings, Threshold.Value, "changes faster than plausible");
        NotAvailable(signal, tally, readings);
    }

    private void NotAvailable(SignalDefinition signal, SignalTally tally, long readings)
    {
        // In a J1939 message a signal that the car does not have is "not available" for good, and nobody misses it (SAE
        // J1939-71); only one that is meant to live is missed.
        var isMissed = signal.Lives || message.Definition.Key is not MessageKey.ParameterGroup;
        if (isMissed)
        {
            Value(FindingCodes.ValueNotAvailable, signal, tally.NotAvailable, readings, Threshold.NotAvailable, "is not available");
        }
    }

    private void Value(string code, SignalDefinition signal, Occurrences seen, long readings, Threshold threshold, string what)
    {
        if (seen.Count == 0)
        {
            return;
        }

        var isFault = threshold.IsExceeded(seen.Count, readings);
        Add(new Finding(
            code,
            isFault ? severity : FindingSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"{Name}/{signal.Name} {what} in {seen.Count} of {readings} readings, first at {findings.Moment(seen.First)}{(seen.Count < readings && seen.Last == track.Last ? " and still at the end" : "")}"))
        {
            Signal = signal.Name,
            At = seen.First,
            Until = seen.Last,
            Frame = track.Numbers?.Of(seen).First,
            UntilFrame = track.Numbers?.Of(seen).Last,
            Count = seen.Count,
        });
    }

    private void Count(string code, long frames, Threshold threshold, long stretch, string what, params ReadOnlySpan<Occurrences> seen)
    {
        var (first, last, count) = (seen[0], seen[0], 0L);
        foreach (var part in seen)
        {
            first = part.Count > 0 && (first.Count == 0 || part.First < first.First) ? part : first;
            last = part.Count > 0 && (last.Count == 0 || part.Last > last.Last) ? part : last;
            count += part.Count;
        }

        if (count == 0)
        {
            return;
        }

        var isFault = threshold.IsExceeded(count, frames, stretch);
        Add(new Finding(
            code,
            isFault ? severity : FindingSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"{Name} had {what} in {count} of {frames} frames, first at {findings.Moment(first.First)}"))
        {
            At = first.First,
            Until = last.Last,
            Frame = track.Numbers?.Of(first).First,
            UntilFrame = track.Numbers?.Of(last).Last,
            Count = count,
        });
    }

    private void Add(Finding finding) => findings.Add(message, finding, track.Bus);
}
