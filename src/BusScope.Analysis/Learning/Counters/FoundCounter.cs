using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>An alive counter that was found.</summary>
/// <param name="Definition">Position, step and modulo.</param>
/// <param name="Matches">Pairs of consecutive frames that count on rightly.</param>
/// <param name="Pairs">Pairs looked at.</param>
public sealed record FoundCounter(CounterDefinition Definition, int Matches, int Pairs)
{
    private const int FewestBreaks = 3;
    private const double LargestBreakShare = 0.005;

    /// <summary>Pairs between which frames were lost: the counter went on by two to four steps.</summary>
    public int Losses { get; init; }

    /// <summary>Whether the bits stand in reverse: the least significant one where others have the most significant. A definition file cannot say so.</summary>
    public bool IsReversed { get; init; }

    /// <summary>The part of the pairs that counts on rightly.</summary>
    public double Share => Pairs == 0 ? 0 : Matches / (double)Pairs;

    /// <summary>Whether breaks are so seldom that a check of the same capture finds no fault (docs/health.md).</summary>
    public bool Holds => !IsReversed && (Pairs - Matches < FewestBreaks || Pairs - Matches <= Pairs * LargestBreakShare);
}
