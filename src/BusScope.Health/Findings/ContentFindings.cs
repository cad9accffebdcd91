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
        Count(FindingCodes.WrongLength, track.WrongLength, track.WrongLength.Count, track.Frames, Threshold.Rejected, track.LengthStretch.Worst, WrongLength());
        if (track.Tally is not { } tally)
        {
            return;
        }

        Count(FindingCodes.ChecksumWrong, tally.ChecksumBad, tally.ChecksumBad.Count, tally.Rows, Threshold.Rejected, track.ChecksumStretch.Worst, "a wrong checksum");
        // Two senders are told already, and break any counter.
        if (SenderCount.Of(track) != 2)
        {
            Count(FindingCodes.CounterRepeated, tally.CounterRepeated, tally.CounterRepeated.Count, tally.Rows, Threshold.Counter, track.CounterStretch.Worst, "a counter that stood still");
            Skipped(tally);
        }

        for (var i = 0; i < tally.Signals.Length; i++)
        {
            Signal(message.Definition.Signals[i], tally.Signals[i]);
        }
    }

    private void Skipped(MessageTally tally)
    {
        // A gap that made the message stale is told already, and so is a recording in which frames are missing; the jump of the counter over
        // either is not told again.
        var stale = track.Expectation?.StaleGaps.Count ?? 0;
        var loss = tally.CounterSkipped.Count > 0 ? ScatteredLoss.On(track.Bus) : null;
        var explained = Math.Max(stale, loss?.Explains(message.Definition.Timing, tally) ?? 0);
        Count(FindingCodes.CounterSkipped, tally.CounterSkipped, tally.CounterSkipped.Count - explained, tally.Rows, Threshold.Counter, loss is null ? track.CounterStretch.Worst : 0, "a counter that jumped");
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
            string.Create(CultureInfo.InvariantCulture, $"{Name}/{signal.Name} {what} in {seen.Count} of {readings} readings, first at {findings.Moment(seen.First)}"))
        {
            Signal = signal.Name,
            At = seen.First,
            Until = seen.Last,
            Frame = track.Numbers?.Of(seen).First,
            UntilFrame = track.Numbers?.Of(seen).Last,
            Count = seen.Count,
        });
    }

    private void Count(string code, Occurrences seen, long count, long frames, Threshold threshold, long stretch, string what)
    {
        if (count <= 0)
        {
            return;
        }

        var isFault = threshold.IsExceeded(count, frames, stretch);
        Add(new Finding(
            code,
            isFault ? severity : FindingSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"{Name} had {what} in {count} of {frames} frames, first at {findings.Moment(seen.First)}"))
        {
            At = seen.First,
            Until = seen.Last,
            Frame = track.Numbers?.Of(seen).First,
            UntilFrame = track.Numbers?.Of(seen).Last,
            Count = count,
        });
    }

    private void Add(Finding finding) => findings.Add(message, finding, track.Bus);
}
