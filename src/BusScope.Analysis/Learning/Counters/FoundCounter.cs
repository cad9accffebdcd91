using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>An alive counter that was found.</summary>
/// <param name="Definition">Position, step and modulo.</param>
/// <param name="Matches">Pairs of consecutive frames that count on rightly.</param>
/// <param name="Pairs">Pairs looked at.</param>
public sealed record FoundCounter(CounterDefinition Definition, int Matches, int Pairs)
{
    private const int BitsOfByte = 8;
    private const int BitsOfSelector = 2;
    private const int FewestBreaks = 3;
    private const double LargestBreakShare = 0.005;

    /// <summary>Pairs between which frames were lost: the counter went on by two to four steps.</summary>
    public int Losses { get; init; }

    /// <summary>Whether the bits stand in reverse: the least significant one where others have the most significant. A definition file cannot say so.</summary>
    public bool IsReversed { get; init; }

    /// <summary>Bits above the field that turn when it wraps: it is the lower end of something wider. None: 0.</summary>
    public int CarriedBits { get; init; }

    /// <summary>Whether the message has a checksum that was found: then somebody guards it, and a counter is to be expected.</summary>
    public bool IsGuarded { get; init; }

    /// <summary>Whether it goes on by one, up or down.</summary>
    public bool CountsByOne => Math.Abs(Definition.Step) == 1;

    /// <summary>
    /// Whether it may be something that happens to grow evenly, such as a distance at constant speed or the time of day. A step other than one, and a field that
    /// another carries on, are no sign of life; beside a checksum they are, as long as all of it fits in a byte.
    /// </summary>
    public bool MayBeQuantity => IsGuarded ? CarriedBits > 0 && Definition.Field.Length + CarriedBits > BitsOfByte : CarriedBits > 0 || !CountsByOne;

    /// <summary>Whether it is so narrow that it may select pages, which go round as well, in a message that nothing guards.</summary>
    public bool MayBeSelector => !IsGuarded && Definition.Field.Length <= BitsOfSelector;

    /// <summary>Whether the definition file demands it of every frame.</summary>
    public bool IsDemanded => Holds && !MayBeQuantity && !MayBeSelector;

    /// <summary>The part of the pairs that counts on rightly.</summary>
    public double Share => Pairs == 0 ? 0 : Matches / (double)Pairs;

    /// <summary>Whether breaks are so seldom that a check of the same capture finds no fault (docs/health.md).</summary>
    public bool Holds => !IsReversed && (Pairs - Matches < FewestBreaks || Pairs - Matches <= Pairs * LargestBreakShare);
}
