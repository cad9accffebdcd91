using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads one message, and checks what can be checked within it.</summary>
internal static class MessageBinder
{
    /// <summary>More than any payload with all its branches; checks between signals cost the square of their number.</summary>
    private const int MostSignals = 2_000;

    private const int LargestGroup = 0x3FFFF;

    /// <summary>A group below this PDU format is sent to one destination (SAE J1939-21: PDU1).</summary>
    private const int FirstBroadcastFormat = 240;

    private static readonly int[] longLengths = [12, 16, 20, 24, 32, 48, 64];

    /// <summary>The message, or null where its name or identifier is at fault.</summary>
    public static MessageDefinition? Read(Entry entry, FileBinding file)
    {
        var faults = file.Faults;
        var named = faults.Name(entry.Key, inExpressions: true);
        var section = new Section(entry.Value, entry.Key.Place, DefinitionKeys.Message, faults);
        if (entry.Value is not MapNode)
        {
            file.LeftOut.Add(entry.Name);
            return null;
        }

        var key = Key(section, faults);
        var length = Length(section, faults);
        var counter = CounterBinder.Read(section, file, length);
        var checksum = ChecksumBinder.Read(section, file, length, section.Has("counter"));
        var entries = section.Entries("signals");
        if (entries.Count > MostSignals)
        {
            faults.Add(Faults.OutOfBounds, entries[MostSignals].Key.Place, $"the message has {entries.Count} signals; expected at most {MostSignals}");
        }

        var bound = entries.Take(MostSignals).Select(signal => SignalBinder.Read(signal, file, length)).OfType<BoundSignal>().ToList();
        var signals = SelectorBinder.Resolve(bound, file);
        OverlapCheck.Run(signals, counter, checksum, faults);
        var message = new MessageDefinition
        {
            Name = entry.Name,
            Key = key ?? new MessageKey.Identifier(default),
            Bus = file.Refer(ReferenceKind.Bus, section.Scalar("bus")),
            From = file.Refer(ReferenceKind.Module, section.Scalar("from")),
            NeededBy = [.. section.Items("needed-by").Select(item => file.Refer(ReferenceKind.Module, faults.Scalar(item, "module name"))).OfType<string>().Distinct()],
            Length = length,
            Timing = TimingBinder.Read(section, file),
            While = file.Expression(section.Scalar("while")),
            Counter = counter?.Counter,
            Checksum = checksum?.Checksum,
            Lives = LivesBinder.Read(section, file, length),
            Constant = ConstantBinder.Read(section, file, length),
            Signals = signals,
            Examples = [.. section.Items("examples").Select(item => ExampleBinder.Read(item, signals, length, file)).OfType<FrameExample>()],
            Note = section.Text("note"),
            Place = entry.Key.Place,
        };
        if (key is null)
        {
            file.LeftOut.UnionWith(signals.Select(signal => signal.Name));
        }

        return file.Keep(named && key is not null, entry.Key, message);
    }

    private static MessageKey? Key(Section section, FaultList faults)
    {
        var extended = section.Flag("extended");
        if (section.Has("id") == section.Has("pgn"))
        {
            faults.Add(section.Has("id") ? Faults.KeysContradict : Faults.MissingKey, section.Has("id") ? section.KeyPlace("pgn") : section.Place, section.Has("id") ? "'id' and 'pgn' both say which frames are meant; expected one of them" : "a message needs 'id' or 'pgn'", section.Has("id") ? null : "for example 'id: 0x0C8'");
            return null;
        }

        if (section.Has("id"))
        {
            if (section.Has("source"))
            {
                faults.Add(Faults.KeysContradict, section.KeyPlace("source"), "'source' goes with 'pgn'; an 'id' has its source in it");
            }

            return Identifier(section, extended == true, faults);
        }

        if (extended == false)
        {
            faults.Add(Faults.KeysContradict, section.KeyPlace("extended"), "a parameter group is always sent with a 29-bit identifier");
        }

        if (section.Scalar("pgn") is not { } scalar || faults.Whole(scalar, 0, ulong.MaxValue) is not { } pgn)
        {
            return null;
        }

        var source = (int?)section.Whole("source", 0, 0xFF);
        if (pgn > LargestGroup)
        {
            faults.Add(Faults.IdentifierTooLarge, scalar.Place, $"the parameter group number {scalar.Value} is larger than 0x{LargestGroup:X}", "the whole 29-bit identifier goes to 'id', with 'extended: true'");
            return null;
        }

        if ((((int)pgn >> 8) & 0xFF) < FirstBroadcastFormat && ((int)pgn & 0xFF) != 0)
        {
            faults.Add(Faults.GroupWithDestination, scalar.Place, $"the parameter group {scalar.Value} is sent to one destination, so its low byte is 0, not 0x{(int)pgn & 0xFF:X2}", $"did you mean '0x{(int)pgn & ~0xFF:X}'?");
            return null;
        }

        return new MessageKey.ParameterGroup((int)pgn, source);
    }

    private static MessageKey.Identifier? Identifier(Section section, bool isExtended, FaultList faults)
    {
        if (section.Scalar("id") is not { } scalar || faults.Whole(scalar, 0, ulong.MaxValue) is not { } id)
        {
            return null;
        }

        var largest = isExtended ? CanId.LargestExtended : CanId.LargestBase;
        if (id > largest)
        {
            faults.Add(Faults.IdentifierTooLarge, scalar.Place, $"the identifier {scalar.Value} is larger than 0x{largest:X}, the largest of {(isExtended ? 29 : 11)} bits", !isExtended && id <= CanId.LargestExtended ? "for a 29-bit identifier add 'extended: true'" : null);
            return null;
        }

        return new MessageKey.Identifier(new CanId((uint)id, isExtended));
    }

    private static int? Length(Section section, FaultList faults)
    {
        if ((int?)section.Whole("length", 0, Payload.Capacity) is not { } length)
        {
            return null;
        }

        if (length > Payload.ClassicCapacity && !longLengths.Contains(length))
        {
            faults.Add(Faults.LengthImpossible, section.ValuePlace("length"), $"no frame has {length} bytes; expected 0 to 8, or one of {string.Join(", ", longLengths)}");
        }

        return length;
    }
}
