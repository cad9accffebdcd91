using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>One signal as the screen knows it.</summary>
/// <param name="Key">Which.</param>
/// <param name="Name">Its name.</param>
/// <param name="Path">Its name in the settings and on the command line: <c>Message/Signal</c>, or the name of a computed signal.</param>
/// <param name="Unit">The definition's unit, or null.</param>
/// <param name="Decimals">Decimals that show every step.</param>
internal sealed record SignalLine(SignalKey Key, string Name, string Path, string? Unit, int Decimals)
{
    /// <summary>Its message's definition; null for a computed signal.</summary>
    public MessageDefinition? Message { get; init; }

    /// <summary>How it is read; null for a computed signal.</summary>
    public SignalPlan? Plan { get; init; }
}

/// <summary>The signals of the definitions: which are shown, in which order, and what the latest snapshot says of them. On the screen's thread.</summary>
internal sealed class SignalLines
{
    private readonly List<SignalLine> all = [];
    private readonly List<SignalLine> shown = [];
    private readonly Dictionary<SignalKey, SignalReading> readings = [];
    private DefinitionPlan? plan;
    private (string Filter, bool ByName, int Watched) made = ("", false, -1);

    /// <summary>The lines shown, the watch list first.</summary>
    public IReadOnlyList<SignalLine> Shown => shown;

    /// <summary>The place of the chosen signal in <see cref="Shown"/>, or -1.</summary>
    public int Row { get; private set; }

    /// <summary>The chosen signal, or null.</summary>
    public SignalLine? Chosen => Row >= 0 ? shown[Row] : null;

    /// <summary>Takes a snapshot and a choice.</summary>
    public void Update(SessionSnapshot snapshot, Choice choice)
    {
        if (!ReferenceEquals(plan, snapshot.Decoding))
        {
            plan = snapshot.Decoding;
            all.Clear();
            all.AddRange(Of(plan));
            made = ("", false, -1);
        }

        var wanted = (choice.Filter, choice.Order == Order.Name, choice.WatchedVersion);
        if (made != wanted)
        {
            made = wanted;
            Choose(choice);
        }

        Row = choice.Signal is { } key ? shown.FindIndex(line => line.Key == key) : -1;
        Row = Row < 0 && shown.Count > 0 ? 0 : Row;
        readings.Clear();
        foreach (var reading in snapshot.Readings)
        {
            // The same signal may be asked for with a sparkline and with a trace; each has the same value.
            readings[reading.Request.Key] = reading;
        }
    }

    /// <summary>What a signal said, or null before it was met.</summary>
    public SignalReading? ReadingOf(SignalKey key) => readings.GetValueOrDefault(key);

    /// <summary>A signal, or null where the definitions have none of that key.</summary>
    public SignalLine? Find(SignalKey key) => all.Find(line => line.Key == key);

    /// <summary>The first signal of a message, or null.</summary>
    public SignalLine? FirstOf(int message) => all.Find(line => line.Key.Message == message);

    /// <summary>The signals of a plan in its order, the computed ones last.</summary>
    public static IEnumerable<SignalLine> Of(DefinitionPlan plan)
    {
        for (var m = 0; m < plan.Messages.Count; m++)
        {
            var message = plan.Messages[m];
            for (var s = 0; s < message.Signals.Count; s++)
            {
                var signal = message.Signals[s].Definition;
                yield return new SignalLine(new SignalKey(m, s), signal.Name, $"{message.Definition.Name}/{signal.Name}", signal.Unit, Values.Decimals(signal))
                {
                    Message = message.Definition,
                    Plan = message.Signals[s],
                };
            }
        }

        for (var c = 0; c < plan.Definitions.Computed.Count; c++)
        {
            var computed = plan.Definitions.Computed[c];
            yield return new SignalLine(new SignalKey(-1, c), computed.Name, computed.Name, computed.Unit, 2);
        }
    }

    private void Choose(Choice choice)
    {
        var words = choice.Filter.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        shown.Clear();
        foreach (var key in choice.Watched)
        {
            if (Find(key) is { } line && IsMeant(line, words))
            {
                shown.Add(line);
            }
        }

        var rest = all.Where(line => !choice.Watched.Contains(line.Key) && IsMeant(line, words));
        shown.AddRange(choice.Order == Order.Name ? rest.OrderBy(line => line.Name, StringComparer.OrdinalIgnoreCase) : rest);
    }

    private static bool IsMeant(SignalLine line, string[] words) => Array.TrueForAll(words, word =>
        line.Path.Contains(word, StringComparison.OrdinalIgnoreCase)
        || (line.Unit?.Contains(word, StringComparison.OrdinalIgnoreCase) ?? false)
        || (line.Message?.Bus?.Contains(word, StringComparison.OrdinalIgnoreCase) ?? false)
        || (line.Message?.From?.Contains(word, StringComparison.OrdinalIgnoreCase) ?? false)
        || (line.Message?.Key is Signals.Definitions.MessageKey.Identifier { Id: var id } && id.ToString().Contains(word, StringComparison.OrdinalIgnoreCase))
        || (line.Message?.NeededBy.Any(module => module.Contains(word, StringComparison.OrdinalIgnoreCase)) ?? false));
}
