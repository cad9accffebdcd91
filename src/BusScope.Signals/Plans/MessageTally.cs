using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>How often something happened, and when first and last.</summary>
public sealed class Occurrences
{
    /// <summary>How often.</summary>
    public long Count { get; set; }

    /// <summary>When first; meaningless while <see cref="Count"/> is 0.</summary>
    public FrameTime First { get; set; }

    /// <summary>When last; meaningless while <see cref="Count"/> is 0.</summary>
    public FrameTime Last { get; set; }

    /// <summary>The same count, which goes on by itself.</summary>
    public Occurrences Copy() => (Occurrences)MemberwiseClone();

    /// <summary>Counts one more.</summary>
    public void Add(FrameTime at) => Add(1, at, at);

    /// <summary>Counts several more.</summary>
    internal void Add(int count, FrameTime first, FrameTime last)
    {
        First = Count == 0 ? first : First;
        Count += count;
        Last = last;
    }
}

/// <summary>What was seen of one signal.</summary>
public sealed class SignalTally
{
    // The raw value up to now, as long as there was no other.
    private ulong? onlyRaw;

    /// <summary>Valid readings (quality ok).</summary>
    public long Valid { get; set; }

    /// <summary>The smallest valid physical value, NaN before the first.</summary>
    public double Minimum { get; set; } = double.NaN;

    /// <summary>The largest valid physical value, NaN before the first.</summary>
    public double Maximum { get; set; } = double.NaN;

    /// <summary>Whether the raw value was ever seen to differ from the one before.</summary>
    public bool EverChanged { get; set; }

    /// <summary>Readings outside the range or among the reserved raw values.</summary>
    public Occurrences OutOfRange { get; private set; } = new();

    /// <summary>Readings by which the sender says "no valid value".</summary>
    public Occurrences NotAvailable { get; private set; } = new();

    /// <summary>Readings by which the sender says "my sensor is at fault".</summary>
    public Occurrences Error { get; private set; } = new();

    /// <summary>Readings that changed faster than plausible.</summary>
    public Occurrences Implausible { get; private set; } = new();

    /// <summary>The keys of the valid readings that came in whole blocks.</summary>
    internal KeyRange Keys = new();

    /// <summary>The reading that the next one's rate of change is measured from.</summary>
    internal RateWatch Rate;

    /// <summary>The same tally, which goes on by itself.</summary>
    public SignalTally Copy()
    {
        var copy = (SignalTally)MemberwiseClone();
        copy.OutOfRange = OutOfRange.Copy();
        copy.NotAvailable = NotAvailable.Copy();
        copy.Error = Error.Copy();
        copy.Implausible = Implausible.Copy();
        return copy;
    }

    /// <summary>Takes in one reading.</summary>
    internal void Add(in Sample sample, FrameTime at)
    {
        if (sample.Quality == SampleQuality.Absent)
        {
            return;
        }

        Note(sample.Raw);
        if (sample.Quality == SampleQuality.Ok)
        {
            Valid++;
            Widen(sample.Value, sample.Value);
        }
        else
        {
            Of(sample.Quality).Add(at);
        }
    }

    /// <summary>Holds raw values against the one before.</summary>
    /// <param name="raw">The same in some readings in succession; null where they differ among themselves.</param>
    internal void Note(ulong? raw)
    {
        EverChanged |= raw is null || (onlyRaw ?? raw) != raw;
        onlyRaw = raw;
    }

    /// <summary>Where readings that are not valid are counted.</summary>
    internal Occurrences Of(SampleQuality quality) => quality switch
    {
        SampleQuality.NotAvailable => NotAvailable,
        SampleQuality.Error => Error,
        SampleQuality.Implausible => Implausible,
        _ => OutOfRange,
    };

    /// <summary>Takes valid values into the smallest and the largest.</summary>
    internal void Widen(double smallest, double largest)
    {
        // Written so that NaN, which nothing has been seen before, gives way.
        Minimum = smallest >= Minimum ? Minimum : smallest;
        Maximum = largest <= Maximum ? Maximum : largest;
    }
}

/// <summary>What was seen of a message's content: counter, checksum and signals, over all its frames.</summary>
public sealed class MessageTally
{
    /// <summary>An empty tally for a message with so many signals.</summary>
    public MessageTally(int signals)
    {
        Signals = new SignalTally[signals];
        for (var i = 0; i < signals; i++)
        {
            Signals[i] = new SignalTally();
        }
    }

    /// <summary>Rows scanned.</summary>
    public long Rows { get; set; }

    /// <summary>Frames whose counter equals that of the frame before, for which no frames missed account.</summary>
    public Occurrences CounterRepeated { get; private set; } = new();

    /// <summary>Frames whose counter is neither the same nor the next, for which no frames missed account.</summary>
    public Occurrences CounterSkipped { get; private set; } = new();

    /// <summary>
    /// Frames whose counter is not the next, before which nothing came for two periods or more, while the counter went on by just as many as the
    /// period makes of that: what was sent in between was not seen.
    /// </summary>
    public Occurrences CounterMissed { get; private set; } = new();

    /// <summary>How many frames that were.</summary>
    public long SentInGaps { get; set; }

    /// <summary>Frames whose counter is not the next, whatever the reason. Over a gap that makes the message stale no counter is held against another.</summary>
    public long CounterBreaks => CounterRepeated.Count + CounterSkipped.Count + CounterMissed.Count;

    /// <summary>Of those that skipped, frames that follow rightly on the frame before the last: the mark of two senders in turn.</summary>
    public long CounterFollowsSecondLast { get; set; }

    /// <summary>When the frame before came, nanoseconds; meaningless without <see cref="LastCounter"/>.</summary>
    internal long LastCounterAt { get; set; }

    /// <summary>The counter of the frame before, or -1: carried from block to block.</summary>
    internal int LastCounter { get; set; } = -1;

    /// <summary>The counter of the frame before that, or -1.</summary>
    internal int SecondLastCounter { get; set; } = -1;

    /// <summary>Frames whose checksum is wrong.</summary>
    public Occurrences ChecksumBad { get; private set; } = new();

    /// <summary>One for each signal of the message.</summary>
    public SignalTally[] Signals { get; private set; }

    /// <summary>The same tally, which goes on by itself.</summary>
    public MessageTally Copy()
    {
        var copy = (MessageTally)MemberwiseClone();
        copy.CounterRepeated = CounterRepeated.Copy();
        copy.CounterSkipped = CounterSkipped.Copy();
        copy.CounterMissed = CounterMissed.Copy();
        copy.ChecksumBad = ChecksumBad.Copy();
        copy.Signals = [.. Signals.Select(signal => signal.Copy())];
        return copy;
    }

    /// <summary>
    /// What comes next does not follow on what came before: something other than the message broke the sequence. Neither a
    /// jump of the counter nor a rate of change is measured across the break.
    /// </summary>
    public void Break()
    {
        LastCounter = -1;
        SecondLastCounter = -1;
        foreach (var signal in Signals)
        {
            signal.Rate = default;
        }
    }
}
