using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads the sections of one file.</summary>
internal static class FileBinder
{
    private const int Version = 1;

    /// <summary>What the file defines; parts at fault are left out.</summary>
    public static DefinitionSet Read(Node root, FileBinding file)
    {
        var faults = file.Faults;
        var section = new Section(root, root.Place, DefinitionKeys.File, faults);
        CheckVersion(section, faults);
        ReadDefaults(section, file);
        var set = new DefinitionSet
        {
            Title = section.Text("title"),
            Buses = [.. section.Entries("buses").Select(entry => ReadBus(entry, file)).OfType<BusDefinition>()],
            Modules = [.. section.Entries("modules").Select(entry => ReadModule(entry, file)).OfType<ModuleDefinition>()],
            Messages = [.. section.Entries("messages").Select(entry => MessageBinder.Read(entry, file)).OfType<MessageDefinition>()],
            Computed = [.. section.Entries("computed").Select(entry => ReadComputed(entry, file)).OfType<ComputedDefinition>()],
            Sequences = [.. section.Entries("sequences").Select(entry => ReadSequence(entry, file)).OfType<SequenceDefinition>()],
            Relays = [.. section.Entries("relays").Select(entry => ReadRelay(entry, file)).OfType<RelayDefinition>()],
        };

        // A message whose name stands there already is none of the set, but its own faults are told in the same go.
        foreach (var entry in section.Repeated("messages"))
        {
            _ = MessageBinder.Read(entry, file);
        }

        return set;
    }

    private static void CheckVersion(Section section, FaultList faults)
    {
        if (section.Scalar("busscope") is { } scalar && scalar.Value != "1")
        {
            faults.Add(Faults.VersionWrong, scalar.Place, $"found format version {scalar.Describe()}; this program reads version {Version}", "write 'busscope: 1'");
        }
    }

    private static void ReadDefaults(Section section, FileBinding file)
    {
        if (section.Find("defaults") is not { } node)
        {
            return;
        }

        var defaults = new Section(node, section.KeyPlace("defaults"), DefinitionKeys.Defaults, file.Faults);
        file.DefaultOrder = defaults.Word("order", FieldBinder.Orders);
        file.DefaultRawRanges = defaults.Word("raw-ranges", [("j1939", true), ("none", false)]) ?? false;
        file.DefaultTiming = new MessageTiming { LateAfter = defaults.Duration("late-after"), StaleAfter = defaults.Duration("stale-after") };
    }

    private static BusDefinition? ReadBus(Entry entry, FileBinding file)
    {
        var faults = file.Faults;
        var named = faults.BusName(entry.Key);
        var section = Named(entry, DefinitionKeys.Bus, faults);
        var bus = new BusDefinition
        {
            Name = entry.Name,
            Title = section?.Text("title"),
            BitRate = section?.BitRate("bitrate"),
            DataBitRate = section?.BitRate("data-bitrate"),
            Place = entry.Key.Place,
        };
        return file.Keep(named, entry.Key, bus);
    }

    private static ModuleDefinition? ReadModule(Entry entry, FileBinding file)
    {
        var named = file.Faults.Name(entry.Key, inExpressions: false);
        var section = Named(entry, DefinitionKeys.Module, file.Faults);
        var module = new ModuleDefinition
        {
            Name = entry.Name,
            GivenTitle = section?.Text("title"),
            Alive = file.Refer(ReferenceKind.Message, section?.Scalar("alive")),
            Place = entry.Key.Place,
        };
        return file.Keep(named, entry.Key, module);
    }

    private static ComputedDefinition? ReadComputed(Entry entry, FileBinding file)
    {
        var named = file.Faults.Name(entry.Key, inExpressions: true);
        var section = new Section(entry.Value, entry.Key.Place, DefinitionKeys.Computed, file.Faults);
        _ = section.Text("note");
        var unit = section.Text("unit");
        if (file.Expression(section.Scalar("expression")) is { } expression && named)
        {
            return new ComputedDefinition(entry.Name, expression, unit, entry.Key.Place);
        }

        file.LeftOut.Add(entry.Name);
        return null;
    }

    private static SequenceDefinition? ReadSequence(Entry entry, FileBinding file)
    {
        var named = file.Faults.Name(entry.Key, inExpressions: false);
        var section = new Section(entry.Value, entry.Key.Place, DefinitionKeys.Sequence, file.Faults);
        _ = section.Text("note");
        var begins = file.Expression(section.Scalar("begins"));
        var steps = section.Items("steps").Select(item => ReadStep(item, file)).OfType<SequenceStep>().ToList();
        var throughout = file.ExpressionList(section, "throughout");
        return named && begins is not null ? new SequenceDefinition(entry.Name, begins, steps, throughout, entry.Key.Place) : null;
    }

    private static SequenceStep? ReadStep(Node node, FileBinding file)
    {
        var section = new Section(node, node.Place, DefinitionKeys.Step, file.Faults);
        var expect = file.Expression(section.Scalar("expect"));
        var within = section.Duration("within");
        return expect is not null && within is { } span ? new SequenceStep(expect, span) : null;
    }

    private static RelayDefinition? ReadRelay(Entry entry, FileBinding file)
    {
        var named = file.Faults.Name(entry.Key, inExpressions: false);
        var section = new Section(entry.Value, entry.Key.Place, DefinitionKeys.Relay, file.Faults);
        _ = section.Text("note");
        var from = file.Refer(ReferenceKind.Signal, section.Scalar("from"));
        var to = file.Refer(ReferenceKind.Signal, section.Scalar("to"));
        var delay = section.Duration("delay");
        var tolerance = section.Number("tolerance");
        if (tolerance < 0)
        {
            file.Faults.Add(Faults.OutOfBounds, section.ValuePlace("tolerance"), $"found {tolerance}; expected 0 or more, in units of the target");
        }

        return named && from is not null && to is not null ? new RelayDefinition(entry.Name, from, to, delay, tolerance, entry.Key.Place) : null;
    }

    // A bus or module may be a bare name: 'cabin:' says that there is one.
    private static Section? Named(Entry entry, KeyTable table, FaultList faults) =>
        entry.Value is ScalarNode { IsNothing: true } ? null : new Section(entry.Value, entry.Key.Place, table, faults);
}
