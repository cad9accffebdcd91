using BusScope.Analysis.Learning.Conditions;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>
/// Writes a baseline as a definition file that a person can read and go on with: expectations as keys, what they were measured
/// from as comments. Signals are not claimed: a capture does not say what a bit means. Only the bits that conditions read are named, by their places.
/// </summary>
public static class BaselineText
{
    /// <summary>Writes a new file.</summary>
    public static void Write(Baseline baseline, TextWriter writer)
    {
        ArgumentNullException.ThrowIfNull(baseline);
        ArgumentNullException.ThrowIfNull(writer);
        var names = new BaselineNames(baseline, DefinitionSet.Empty);
        WriteHead(baseline, writer);
        WriteBuses(baseline, names, writer);
        writer.Write("messages:\n");
        foreach (var message in baseline.Messages)
        {
            WriteMessage(message, names, BitsOf(Conditions(baseline.Messages)), writer);
        }

        WriteComputed(baseline, names, writer);
    }

    /// <summary>One message, indented as below <c>messages</c>.</summary>
    /// <param name="message">The message.</param>
    /// <param name="names">All names.</param>
    /// <param name="bits">The bits that conditions read.</param>
    /// <param name="writer">Where to.</param>
    internal static void WriteMessage(LearnedMessage message, BaselineNames names, IEnumerable<SwitchBit> bits, TextWriter writer)
    {
        if (!message.Id.Fits)
        {
            writer.Write($"  # {message.Id} on {message.Bus}: too large for its kind of identifier, left out\n");
            return;
        }

        writer.Write($"  {names.Message(message)}:\n");
        foreach (var key in LearnedKeys.Identity(message, names).Concat(LearnedKeys.Expectations(message, names)))
        {
            writer.Write($"    {key}\n");
        }

        var own = bits.Where(bit => bit.Bus == message.Bus && bit.Id == message.Id).ToList();
        if (own.Count > 0)
        {
            writer.Write("    signals:\n");
            own.ForEach(bit => writer.Write($"      {LearnedKeys.Signal(bit)}\n"));
        }
    }

    /// <summary>The conditions on which messages depend, each once.</summary>
    internal static IReadOnlyList<LearnedCondition> Conditions(IEnumerable<LearnedMessage> messages) =>
        [.. messages.Select(message => message.Condition).OfType<LearnedCondition>().Distinct()];

    /// <summary>All bits that conditions read, each once, by place.</summary>
    internal static IReadOnlyList<SwitchBit> BitsOf(IReadOnlyList<LearnedCondition> conditions) =>
        [.. conditions.SelectMany(condition => condition.Bits).DistinctBy(bit => (bit.Bus, bit.Id, bit.Byte, bit.Bit)).OrderBy(bit => bit.Byte).ThenBy(bit => bit.Bit)];

    private static void WriteHead(Baseline baseline, TextWriter writer)
    {
        writer.Write(FormattableString.Invariant($"# Learned from {baseline.Frames:N0} frames in {baseline.Duration}:\n"));
        foreach (var source in baseline.Sources)
        {
            writer.Write($"#   {CleanText.Clean(source)}\n");
        }

        if (baseline.Missing is { } missing)
        {
            writer.Write($"# {missing}.\n");
        }

        writer.Write("""
            # What these captures held is all it knows. Read it, name what you know, and take out what does not matter.
            # The comments say what was measured; the values beside them are rounded to what a designer would have chosen.
            # Signals are not claimed: add those that you know.
            busscope: 1
            title: Learned baseline

            """.ReplaceLineEndings("\n"));
    }

    private static void WriteBuses(Baseline baseline, BaselineNames names, TextWriter writer)
    {
        writer.Write("buses:\n");
        foreach (var bus in baseline.Buses)
        {
            writer.Write(BusLine(bus, baseline));
        }

        writer.Write("modules:   # one placeholder for all that listen on a bus: rename it, or put your car's modules under needed-by\n");
        foreach (var bus in baseline.Buses)
        {
            writer.Write(ModuleLine(bus, names));
        }
    }

    /// <summary>A bus, indented as below <c>buses</c>.</summary>
    internal static string BusLine(string bus, Baseline baseline) =>
        $"  {YamlScalar.BusName(bus)}: {(baseline.BitRates.TryGetValue(bus, out var rate) ? $"{{ bitrate: {BitRateText.Of(rate)} }}" : "{}   # bit rate not known")}\n";

    /// <summary>The placeholder module of a bus, indented as below <c>modules</c>.</summary>
    internal static string ModuleLine(string bus, BaselineNames names)
    {
        var title = $"Whoever listens on {bus}";
        return $"  {names.Listeners(bus)}: {{ title: {(YamlScalar.BusName(bus) == bus ? title : YamlScalar.Text(title))} }}\n";
    }

    private static void WriteComputed(Baseline baseline, BaselineNames names, TextWriter writer)
    {
        var conditions = Conditions(baseline.Messages);
        if (conditions.Count == 0)
        {
            return;
        }

        writer.Write("computed:   # states of the car that messages depend on; give them the names of what they are\n");
        foreach (var condition in conditions)
        {
            writer.Write($"  {LearnedKeys.Computed(condition, names.Condition(condition), bit => $"{names.Message(MessageOf(bit, baseline))}/{BaselineNames.Signal(bit)}")}\n");
        }
    }

    /// <summary>The message that a bit belongs to.</summary>
    internal static LearnedMessage MessageOf(SwitchBit bit, Baseline baseline) => baseline.Messages.First(message => message.Bus == bit.Bus && message.Id == bit.Id);
}
