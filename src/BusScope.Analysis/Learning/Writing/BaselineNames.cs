using System.Text;
using BusScope.Analysis.Learning.Conditions;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>
/// The names under which what was learned stands in a definition file: plain, made of what was found, each once, and none that the file has
/// already.
/// </summary>
internal sealed class BaselineNames
{
    private readonly Dictionary<string, string> listeners = [];
    private readonly Dictionary<LearnedMessage, string> messages = [];
    private readonly Dictionary<LearnedCondition, string> conditions = [];
    private readonly HashSet<string> taken;

    /// <summary>Names for a baseline beside what a file has.</summary>
    public BaselineNames(Baseline baseline, DefinitionSet known)
    {
        taken = [.. known.Messages.Select(message => message.Name), .. known.Computed.Select(computed => computed.Name), .. known.Messages.SelectMany(message => message.Signals).Select(signal => signal.Name)];
        var takenPlain = new HashSet<string>();
        var takenModules = known.Modules.Select(module => module.Name).ToHashSet();

        // A bus that is called so has its own name first, and one that only comes to it has another.
        foreach (var bus in baseline.Buses.OrderBy(bus => Plain(bus, "-.") != bus))
        {
            var plain = Unique(Plain(bus, "-."), takenPlain);

            // The placeholder of an earlier baseline is the same placeholder.
            listeners.Add(bus, known.Modules.Any(module => module.Name == $"{plain}-listeners") ? $"{plain}-listeners" : Unique($"{plain}-listeners", takenModules));
        }

        foreach (var message in baseline.Messages)
        {
            messages.Add(message, Unique($"{Identifier(message.Bus)}_{message.Id.ToString()[2..]}", taken));
        }
    }

    /// <summary>The placeholder for the modules that live on a bus.</summary>
    public string Listeners(string bus) => listeners[bus];

    /// <summary>The message.</summary>
    public string Message(LearnedMessage message) => messages[message];

    /// <summary>The computed signal that a condition becomes, or is.</summary>
    public string Condition(LearnedCondition condition)
    {
        if (!conditions.TryGetValue(condition, out var name))
        {
            var number = 1;
            while (!taken.Add($"Condition{number}"))
            {
                number++;
            }

            conditions.Add(condition, name = $"Condition{number}");
        }

        return name;
    }

    /// <summary>The file has a computed signal that says the same.</summary>
    public void Call(LearnedCondition condition, string name) => conditions[condition] = name;

    /// <summary>The one-bit signal that a switch bit becomes: where it stands is all that is known.</summary>
    public static string Signal(SwitchBit bit) => $"Byte{bit.Byte}Bit{bit.Bit}";

    // Names of messages stand in expressions, so they begin with a letter.
    private static string Identifier(string bus) => Plain(bus, "") is var plain && char.IsLetter(plain[0]) ? plain : "bus" + plain;

    private static string Plain(string name, string allowed)
    {
        var plain = new StringBuilder();
        foreach (var c in name)
        {
            plain.Append(char.IsLetter(c) || char.IsAsciiDigit(c) || allowed.Contains(c, StringComparison.Ordinal) ? c : '_');
        }

        // A name begins with a letter or a digit; and the word null would be no name in YAML.
        return plain.Length > 0 && (char.IsLetter(plain[0]) || char.IsAsciiDigit(plain[0])) && plain.ToString() != "null" ? plain.ToString() : "bus" + plain;
    }

    private static string Unique(string name, HashSet<string> taken)
    {
        var unique = name;
        for (var i = 2; !taken.Add(unique); i++)
        {
            unique = $"{name}_{i}";
        }

        return unique;
    }
}
