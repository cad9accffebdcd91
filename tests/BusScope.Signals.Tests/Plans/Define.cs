using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Tests.Plans;

/// <summary>Definitions built by hand, as short as tests want them.</summary>
internal static class Define
{
    public static BitField Little(int firstByte, int lowestBit, int length) => new(new BitPosition(firstByte, lowestBit), length, ByteOrder.Little);

    public static BitField Big(int firstByte, int highestBit, int length) => new(new BitPosition(firstByte, highestBit), length, ByteOrder.Big);

    public static BitField Byte(int at) => Little(at, 0, 8);

    public static SignalDefinition Signal(BitField field, string name = "S") => new() { Name = name, Field = field };

    public static MessageDefinition Message(params IReadOnlyList<SignalDefinition> signals) => Message("M", 0x100, signals);

    public static MessageDefinition Message(string name, uint id, params IReadOnlyList<SignalDefinition> signals) =>
        new() { Name = name, Key = new MessageKey.Identifier(new CanId(id, false)), Signals = signals };
}
