using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>Which signal is meant.</summary>
/// <param name="Message">The index of its message in the definitions, or -1 for a computed signal.</param>
/// <param name="Signal">Its index in the message, or among the computed signals.</param>
public readonly record struct SignalKey(int Message, int Signal)
{
    /// <summary>Whether it is a computed signal.</summary>
    public bool IsComputed => Message < 0;
}

/// <summary>Of which signal the readings are wanted, and how its trace is to be cut.</summary>
/// <param name="Key">The signal.</param>
/// <param name="Window">How far back the trace reaches.</param>
/// <param name="Columns">Into how many columns it is cut, 0 for no trace.</param>
/// <param name="Step">By how many columns at once the trace moves on, at least 1: more than one leaves room at its end that fills, and the rest stands still meanwhile.</param>
public readonly record struct ReadingRequest(SignalKey Key, FrameSpan Window, int Columns, int Step = 1)
{
    /// <summary>The most columns of a trace.</summary>
    public const int MostColumns = 1_024;
}

/// <summary>What a signal said so far. Immutable.</summary>
/// <param name="Request">What was asked for.</param>
/// <param name="Latest">The latest reading.</param>
/// <param name="At">When it came.</param>
/// <param name="Smallest">The smallest valid value since the start, or since the latest jump in a recording; NaN before the first.</param>
/// <param name="Largest">The largest.</param>
/// <param name="Trace">The columns asked for, the latest last.</param>
/// <param name="Before">What stood before the first column.</param>
public sealed record SignalReading(ReadingRequest Request, Sample Latest, FrameTime At, double Smallest, double Largest, ReadOnlyMemory<TraceBin> Trace, TraceBin Before)
{
    /// <summary>How many of the last columns are still to come.</summary>
    public int Ahead { get; init; }

    /// <summary>When the last column ends.</summary>
    public FrameTime End { get; init; }
}
