using BusScope.Analysis.Learning.Conditions;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>
/// Adds a baseline to a definition file that is there. Every line stays as a person wrote it: messages that the file does not have and keys that
/// its messages lack are put in by position, and where the file says otherwise than the captures, the file stands.
/// </summary>
public sealed class BaselineMerge
{
    // Behind the last of these, new keys of a message are put; its signals and examples stay below them.
    private static readonly HashSet<string> headKeys =
        ["id", "extended", "pgn", "source", "bus", "from", "needed-by", "length", "every", "on-change", "late-after", "stale-after", "while", "counter", "checksum", "lives", "constant", "note"];

    private static readonly HashSet<string> timingKeys = ["every", "on-change", "late-after", "stale-after", "while"];

    private readonly Baseline baseline;
    private readonly DefinitionSet known;
    private readonly DefinitionOutline outline;
    private readonly BaselineNames names;
    private readonly Dictionary<LearnedMessage, MessageDefinition> matches = [];
    private readonly TextSplices splices = new();
    private readonly List<string> ending = [];
    private bool isPossible = true;

    private BaselineMerge(Baseline baseline, DefinitionSet known, DefinitionOutline outline)
    {
        this.baseline = baseline;
        this.known = known;
        this.outline = outline;
        names = new BaselineNames(baseline, known);
    }

    /// <summary>The file with the baseline added, or null where it is written in a way that nothing can be added to.</summary>
    /// <param name="before">The file, free of errors.</param>
    /// <param name="baseline">What was learned.</param>
    public static BaselineMergeResult? Into(SourceText before, Baseline baseline)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(baseline);
        if (DefinitionLoader.LoadTexts([before]).Definitions is not { } known || DefinitionOutline.Of(before) is not { } outline)
        {
            return null;
        }

        return new BaselineMerge(FittedBaseline.To(baseline, known, outline), known, outline).Run(before);
    }

    private BaselineMergeResult? Run(SourceText before)
    {
        var match = new MessageMatch(known);
        var added = new List<LearnedMessage>();
        foreach (var message in baseline.Messages)
        {
            if (match.Find(message) is not { } definition)
            {
                added.Add(message);
            }
            else if (definition.Key is MessageKey.Identifier)
            {
                matches[message] = definition;
            }
        }

        var knownConditions = CallKnownConditions();
        var keys = matches.GroupBy(pair => pair.Value, pair => pair.Key).ToDictionary(buses => buses.Key, buses => Missing(buses.Key, [.. buses]));

        // Only conditions that something added depends on are written, and that the file does not have.
        var depending = added.Concat(matches.Where(pair => keys[pair.Value].Exists(key => key.Key == "while")).Select(pair => pair.Key));
        var conditions = BaselineText.Conditions(depending).Where(condition => !knownConditions.Contains(condition)).ToList();
        var bits = BaselineText.BitsOf(conditions);
        AddBuses(added);
        AddKeys(keys);
        AddSignals(bits.Where(bit => matches.ContainsKey(BaselineText.MessageOf(bit, baseline))));
        AddEntries("messages", added.Select(message => Text(writer => BaselineText.WriteMessage(message, names, bits, writer))));
        AddEntries("computed", conditions.Select(condition => $"  {LearnedKeys.Computed(condition, names.Condition(condition), NameOf)}\n"));

        splices.Behind(before.LineCount, string.Concat(ending));
        var text = splices.Apply(before);
        return isPossible && IsSound(text, before.FileName, added.Count(message => message.Id.Fits))
            ? new BaselineMergeResult(text, added.Count, keys.Count(pair => pair.Value.Count > 0), keys.Sum(pair => pair.Value.Count), BaselineComparison.Run(baseline, known, matches))
            : null;
    }

    // What the file computes already in the same words has its name.
    private HashSet<LearnedCondition> CallKnownConditions()
    {
        var there = new HashSet<LearnedCondition>();
        foreach (var condition in BaselineText.Conditions(baseline.Messages))
        {
            if (known.Computed.FirstOrDefault(computed => computed.Expression.Text == LearnedKeys.Expression(condition, NameOf)) is { } computed)
            {
                names.Call(condition, computed.Name);
                there.Add(condition);
            }
        }

        return there;
    }

    // A message that names no bus is judged on each bus where it comes: it gets what holds on all of them.
    private List<LearnedKey> Missing(MessageDefinition definition, IReadOnlyList<LearnedMessage> onBuses)
    {
        var there = outline.Keys("messages", definition.Name);
        var learned = onBuses.Select(message => LearnedKeys.Expectations(message, names).Where(key => key.Key.Length > 0).Select(key => key with { Comment = onBuses.Count == 1 ? key.Comment : null }).ToList()).ToList();
        var saysWhen = there.Any(timingKeys.Contains) || learned.Exists(other => !other.Where(IsTiming).SequenceEqual(learned[0].Where(IsTiming)));
        return [.. learned[0].Where(key => !there.Contains(key.Key) && !(saysWhen && IsTiming(key)) && learned.TrueForAll(other => other.Contains(key)))];

        static bool IsTiming(LearnedKey key) => timingKeys.Contains(key.Key);
    }

    private void AddBuses(List<LearnedMessage> added)
    {
        var buses = added.Select(message => message.Bus).Distinct().ToList();
        AddEntries("buses", buses.Where(bus => known.Buses.All(each => each.Name != bus)).Select(bus => BaselineText.BusLine(bus, baseline)));
        AddEntries("modules", buses.Where(bus => known.Modules.All(each => each.Name != names.Listeners(bus))).Select(bus => BaselineText.ModuleLine(bus, names)));
    }

    private void AddKeys(Dictionary<MessageDefinition, List<LearnedKey>> keys)
    {
        foreach (var (message, missing) in keys.Where(pair => pair.Value.Count > 0))
        {
            var name = message.Name;
            var last = outline.Keys("messages", name).Where(headKeys.Contains).Select(key => outline.LastLineOf("messages", name, key)).Max();
            if (last is { } line && outline.EndOf("messages", name) is { Indent: var indent })
            {
                splices.Behind(line, string.Concat(missing.Select(key => $"{new string(' ', indent)}{key}\n")));
            }
            else
            {
                AddInBraces(missing, "messages", name);
            }
        }
    }

    private void AddSignals(IEnumerable<SwitchBit> bits)
    {
        foreach (var ofMessage in bits.GroupBy(bit => matches[BaselineText.MessageOf(bit, baseline)]))
        {
            var name = ofMessage.Key.Name;
            var missing = ofMessage.Where(bit => Existing(ofMessage.Key, bit) is null).DistinctBy(bit => (bit.Byte, bit.Bit)).Select(bit => new LineEntry(NewName(ofMessage.Key, bit), LearnedKeys.Signal(bit).Value)).ToList();
            isPossible &= missing.Count == 0 || SignalEntries.Put(outline, splices, name, missing);
        }
    }

    // Entries for a mapping at the top of the file, indented by two; the mapping is begun at the end of the file where it is missing.
    private void AddEntries(string section, IEnumerable<string> entries)
    {
        var texts = entries.ToList();
        if (texts.Count == 0)
        {
            return;
        }

        if (outline.EndOf(section) is { } end)
        {
            splices.Behind(end.Line, string.Concat(texts.SelectMany(text => text.Split('\n', StringSplitOptions.RemoveEmptyEntries)).Select(line => $"{new string(' ', end.Indent)}{line[2..]}\n")));
        }
        else if (outline.InsideBraces(section) is var (line, column) && texts.TrueForAll(text => text.IndexOf('\n', StringComparison.Ordinal) == text.Length - 1))
        {
            splices.Before(line, column, string.Concat(texts.Select(text => $"{text.Split("   #")[0].Trim()}, ")));
        }
        else if (!outline.Keys().Contains(section))
        {
            ending.Add($"{section}:\n{string.Concat(texts)}");
        }
        else
        {
            isPossible = false;
        }
    }

    private void AddInBraces(List<LearnedKey> keys, params ReadOnlySpan<string> path)
    {
        if (outline.InsideBraces(path) is not var (line, column))
        {
            isPossible = false;
            return;
        }

        splices.Before(line, column, string.Concat(keys.Select(key => $"{key.Key}: {key.Value}, ")));
    }

    // The signal by which the file knows a bit: its own, where it has one.
    private string NameOf(SwitchBit bit)
    {
        var message = BaselineText.MessageOf(bit, baseline);
        return matches.TryGetValue(message, out var definition)
            ? $"{definition.Name}/{Existing(definition, bit)?.Name ?? NewName(definition, bit)}"
            : $"{names.Message(message)}/{BaselineNames.Signal(bit)}";
    }

    // A person may have given the name of this place to another.
    private string NewName(MessageDefinition message, SwitchBit bit)
    {
        var name = BaselineNames.Signal(bit);
        for (var i = 2; message.Signals.Any(signal => signal.Name == name) || known.Computed.Any(computed => computed.Name == name); i++)
        {
            name = $"{BaselineNames.Signal(bit)}_{i}";
        }

        return name;
    }

    private static SignalDefinition? Existing(MessageDefinition message, SwitchBit bit) => message.Signals.FirstOrDefault(signal =>
        signal.Field.Length == 1 && signal.Field.Start == new BitPosition(bit.Byte, bit.Bit) && signal is { Scale: 1, Offset: 0 });

    private static string Text(Action<TextWriter> write)
    {
        using var writer = new StringWriter();
        write(writer);
        return writer.ToString();
    }

    // What a person wrote must still be there, and the file as a whole must load.
    private bool IsSound(string text, string fileName, int added) =>
        DefinitionLoader.LoadText(text, fileName).Definitions is { } after
        && after.Messages.Count == known.Messages.Count + added
        && known.Messages.All(old => after.Messages.Any(now => now.Name == old.Name && now.Key == old.Key && now.Signals.Count >= old.Signals.Count));
}
