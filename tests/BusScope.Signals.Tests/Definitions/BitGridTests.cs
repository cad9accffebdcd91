using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Definitions;

public sealed class BitGridTests
{
    private const string Mixed = """
        busscope: 1
        defaults: { order: big }
        buses: { chassis: {} }
        messages:
          EngineData:
            id: 0x1A0
            bus: chassis
            length: 8
            every: 20 ms
            counter: { byte: 6, bits: 0..3 }
            checksum: { byte: 7, algorithm: crc8-sae-j1850 }
            signals:
              EngineSpeed: { bytes: 0..1, scale: 0.25, unit: rpm }
              Coolant: { byte: 2, offset: -40, unit: degC }
              Torque: { msb: 3.7, length: 12, signed: true, scale: 0.5, unit: Nm }
              Little: { lsb: 4.0, length: 10, order: little }
              Clash: { byte: 5, bits: 1..2, values: { 0: no, 1: yes } }
          Cluster:
            id: 0x3F0
            signals:
              Page: { byte: 0 }
              Odometer: { bytes: 1..3, unit: km, when: { Page: 0 } }
              FuelLevel: { byte: 1, scale: 0.5, unit: percent, when: { Page: 1 } }
              Detail: { byte: 2, bits: 0..1, when: { Page: 1 } }
              Inner: { byte: 3, when: { Page: 1, Detail: [1, 3] } }
          Wide:
            pgn: 65280
            length: 64
            signals:
              ANameThatIsFarTooLongToStandInALegendOfEightyColumns: { bytes: 0..7, order: little, scale: 0.000123456789, offset: -1234.5678, unit: a rather long unit }
              Last: { byte: 63 }
          Empty: { id: 0x7FF, length: 0 }
        """;

    [Theory]
    [InlineData("EngineData", false)]
    [InlineData("EngineData", true)]
    [InlineData("Cluster", false)]
    [InlineData("Wide", true)]
    [InlineData("Empty", false)]
    public void A_message_is_drawn(string name, bool unicode)
    {
        var message = DefinitionLoader.LoadText(Mixed, "grid.yaml").Definitions!.Messages.Single(message => message.Name == name);

        var text = BitGrid.Draw(message, unicode);

        Snapshot.Match(text, $"{name}.{(unicode ? "unicode" : "ascii")}");
    }

    [Fact]
    public void No_line_is_wider_than_eighty_columns_and_no_letter_is_missing()
    {
        Gens.Fields.Sample(fields =>
        {
            var message = new MessageDefinition
            {
                Name = "Any",
                Key = new MessageKey.ParameterGroup(65280, null),
                Signals = [.. fields.Select((field, n) => new SignalDefinition { Name = $"S{n}", Field = field, Scale = 1 / 3.0, Offset = -1e9 / 7, Unit = "unit" })],
            };

            var lines = BitGrid.Draw(message, unicode: true).Split('\n');

            return lines.All(line => line.Length <= 80) && fields.Select((_, n) => n).All(n => lines.Any(line => line.Contains($" S{n} ", StringComparison.Ordinal)));
        });
    }

    private static class Gens
    {
        private static readonly Gen<BitField> field =
            from length in Gen.Int[1, 64]
            from along in Gen.Int[0, 511 - 64]
            from little in Gen.Bool
            select little
                ? new BitField(new BitPosition(along / 8, along % 8), length, ByteOrder.Little)
                : new BitField(new BitPosition(along / 8, 7 - (along % 8)), length, ByteOrder.Big);

        public static readonly Gen<BitField[]> Fields = field.Array[1, 70];
    }
}
