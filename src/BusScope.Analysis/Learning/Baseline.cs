using BusScope.Analysis.Learning.Conditions;
using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>What was learned from captures of a healthy car.</summary>
/// <param name="Messages">By bus, then by identifier.</param>
public sealed record Baseline(IReadOnlyList<LearnedMessage> Messages)
{
    /// <summary>What the captures are called.</summary>
    public required IReadOnlyList<string> Sources { get; init; }

    /// <summary>The bit rates of the buses, by name, where they are known.</summary>
    public required IReadOnlyDictionary<string, long> BitRates { get; init; }

    /// <summary>Data frames it was learned from.</summary>
    public required long Frames { get; init; }

    /// <summary>Time covered.</summary>
    public required FrameSpan Duration { get; init; }

    /// <summary>That frames are missing in the captures, or null.</summary>
    public MissingFrames? Missing => MissingFrames.Find(Messages);

    /// <summary>The buses, in order of appearance.</summary>
    public IReadOnlyList<string> Buses => [.. Messages.Select(message => message.Bus).Distinct()];

    /// <summary>Learns from a finished study.</summary>
    /// <param name="study">The captures, read to their ends.</param>
    /// <param name="sources">What the captures are called.</param>
    /// <param name="bitRates">The bit rates of the buses, by name, where they are known.</param>
    /// <param name="cancellation">Stops learning.</param>
    public static Baseline Learn(CaptureStudy study, IReadOnlyList<string> sources, IReadOnlyDictionary<string, long> bitRates, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(study);

        // Each identifier is learned by itself, so the order of the threads cannot change the outcome.
        var identifiers = study.Identifiers;
        var messages = new LearnedMessage[identifiers.Count];
        var times = identifiers.Select(identifier => identifier.Bus).Distinct().ToDictionary(bus => bus, study.TimesOf);
        Parallel.For(0, messages.Length, new ParallelOptions { CancellationToken = cancellation }, i =>
            messages[i] = MessageLearner.Learn(identifiers[i], times[identifiers[i].Bus]));

        foreach (var (message, condition) in ConditionFinder.Find(messages, [.. identifiers.Select(identifier => identifier.Bits)]))
        {
            messages[message] = messages[message] with { Condition = condition, Timing = messages[message].Timing.AllowingFor(DelayOf(condition, messages)) };
        }

        return new Baseline(messages) { Sources = sources, BitRates = bitRates, Frames = study.Frames, Duration = study.Duration };
    }

    // A state is told only as often as the messages that tell it: until then, what it switched off still looks expected, also where the capture ends first.
    private static FrameSpan DelayOf(LearnedCondition condition, LearnedMessage[] messages) =>
        condition.Bits.Max(bit => messages.First(message => message.Bus == bit.Bus && message.Id == bit.Id).Timing.Period!.Value);
}
