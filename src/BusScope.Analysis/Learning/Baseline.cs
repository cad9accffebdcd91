using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>What was learned from captures of a healthy car.</summary>
/// <param name="Messages">By bus, then by identifier.</param>
/// <param name="BitRates">The bit rates of the buses, where they are known.</param>
public sealed record Baseline(IReadOnlyList<LearnedMessage> Messages, IReadOnlyDictionary<string, long> BitRates)
{
    /// <summary>What the captures are called.</summary>
    public required IReadOnlyList<string> Sources { get; init; }

    /// <summary>Data frames it was learned from.</summary>
    public required long Frames { get; init; }

    /// <summary>Time covered.</summary>
    public required FrameSpan Duration { get; init; }

    /// <summary>Learns from a finished study.</summary>
    /// <param name="study">The captures, read to their ends.</param>
    /// <param name="sources">What the captures are called.</param>
    /// <param name="bitRates">The bit rates of the buses, where they are known.</param>
    /// <param name="cancellation">Stops learning.</param>
    public static Baseline Learn(CaptureStudy study, IReadOnlyList<string> sources, IReadOnlyDictionary<string, long> bitRates, CancellationToken cancellation)
    {
        // Each identifier is learned by itself, so the order of the threads cannot change the outcome.
        var identifiers = study.Identifiers;
        var messages = new LearnedMessage[identifiers.Count];
        Parallel.For(0, messages.Length, new ParallelOptions { CancellationToken = cancellation }, i => messages[i] = MessageLearner.Learn(identifiers[i]));
        return new Baseline(messages, bitRates) { Sources = sources, Frames = study.Frames, Duration = study.Duration };
    }
}
