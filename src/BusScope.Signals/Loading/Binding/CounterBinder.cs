using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads the alive counter of a message.</summary>
internal static class CounterBinder
{
    private const int ShortestCounter = 2;
    private const int LongestCounter = 16;

    /// <summary>The counter, or null.</summary>
    public static (CounterDefinition Counter, PlacedField Field)? Read(Section message, FileBinding file, int? length)
    {
        if (message.Find("counter") is not { } node)
        {
            return null;
        }

        var faults = file.Faults;
        var section = new Section(node, message.KeyPlace("counter"), DefinitionKeys.Counter, faults);
        if (node is not MapNode || FieldBinder.Read(section, file) is not { } placed)
        {
            return null;
        }

        var bits = placed.Field.Length;
        if (bits is < ShortestCounter or > LongestCounter)
        {
            faults.Add(Faults.CounterImpossible, placed.Place, $"a counter of {bits} bit{(bits == 1 ? "" : "s")}; expected {ShortestCounter} to {LongestCounter}");
            return null;
        }

        var modulo = (int)(section.Whole("modulo", 2, 1 << LongestCounter) ?? 1 << bits);
        var step = (int)(section.Whole("step", -(1 << LongestCounter), 1 << LongestCounter) ?? 1);
        if (modulo > 1 << bits)
        {
            faults.Add(Faults.CounterImpossible, section.ValuePlace("modulo"), $"a counter of {bits} bits cannot count modulo {modulo}; expected 2 to {1 << bits}");
        }
        else if (step % modulo == 0)
        {
            faults.Add(Faults.CounterImpossible, section.ValuePlace("step"), $"with a step of {step} modulo {modulo} the counter stands still");
        }

        return FieldBinder.Fits(placed, length, "the counter", faults)
            ? (new CounterDefinition(placed.Field) { Step = step, Modulo = modulo }, placed)
            : null;
    }
}
