using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class DefinitionLoaderTests
{
    internal const string Whole = """
        busscope: 1
        title: Dunlin, chassis bus
        defaults: { order: big }
        buses:
          chassis: { bitrate: 500 kbit/s, data-bitrate: 2 Mbit/s, title: Chassis }
          race: { bitrate: 1 Mbit/s }
        modules:
          engine-controller:
          transmission: { title: Transmission }
          cluster: { title: Instrument cluster, alive: ClusterStatus }
          climate: {}
        messages:
          EngineSpeed:
            id: 0x0C8
            bus: chassis
            from: engine-controller
            needed-by: [cluster, transmission, climate]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            while: KeyPosition >= 2
            counter:  { byte: 6, bits: 0..3 }
            checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 }
            lives: 0F FF 00 80 00
            constant: -- 0- A7 -3 --
            signals:
              EngineSpeed:    { bytes: 0..1, scale: 0.25, unit: rpm, range: 0..9000, not-available: 0xFFFF }
              CoolantTemp:    { byte: 2, offset: -40, unit: degC }
              TorqueRequest:  { msb: 3.7, length: 12, signed: true, scale: 0.5, unit: Nm }
              Gear:           { byte: 5, bits: 0..3, values: { 0: park, 1: reverse, 2: neutral, 3: drive } }
            examples:
              - { frame: 0F A0 7B 00 00 03 00 73, gives: { EngineSpeed: 1000, CoolantTemp: 83, Gear: drive } }
          ClusterStatus: { id: 0x18FF1234, extended: true, bus: chassis, on-change: true, signals: { KeyPosition: { byte: 0 }, CrankRelay: { byte: 1, values: { 0: off, 1: on } } } }
          Wheels:
            pgn: 65215
            source: 0x0B
            bus: chassis
            signals:
              WheelFront: { bytes: 0..1, order: little, scale: 0.00390625, raw-ranges: j1939, role: Vehicle.Chassis.Axle.Row1.Wheel.Left.Speed }
              WheelRear: { lsb: 2.0, length: 16, order: little, max-rate: 500, lives: true }
          RaceEngine: { id: 0x640, bus: race, signals: { Speed: { bytes: 0..1 } } }
        computed:
          SlipRear: { expression: "(WheelRear - WheelFront) / WheelFront", unit: ratio }
        sequences:
          start:
            begins: KeyPosition == 3
            steps:
              - { expect: CrankRelay == on, within: 200 ms }
              - { expect: EngineSpeed > 150, within: 1 s }
            throughout: [ CoolantTemp >= -30 ]
        relays:
          EngineSpeed: { from: RaceEngine/Speed, to: EngineSpeed/EngineSpeed, delay: 40 ms, tolerance: 25 }
        """;

    [Fact]
    public void A_file_with_every_section_loads_without_a_fault()
    {
        var result = DefinitionLoader.LoadText(Whole, "dunlin.yaml");

        Assert.Equal("", DiagnosticText.Render(result.Diagnostics, result.Sources));
        var definitions = Assert.IsType<DefinitionSet>(result.Definitions);
        Assert.Equal("Dunlin, chassis bus", definitions.Title);
        Assert.Equal(["chassis 500000 2000000", "race 1000000 "], definitions.Buses.Select(bus => $"{bus.Name} {bus.BitRate} {bus.DataBitRate}"));
        Assert.Equal(["engine-controller", "Transmission", "Instrument cluster", "climate"], definitions.Modules.Select(module => module.Title));
        Assert.Equal(["EngineSpeed", "ClusterStatus", "Wheels", "RaceEngine"], definitions.Messages.Select(message => message.Name));
        Assert.Equal(["SlipRear"], definitions.Computed.Select(computed => computed.Name));
        Assert.Equal(2, Assert.Single(definitions.Sequences).Steps.Count);
        Assert.Equal(FrameSpan.FromMilliseconds(40), Assert.Single(definitions.Relays).LargestDelay);
    }

    [Fact]
    public void A_message_has_what_its_keys_say()
    {
        var message = DefinitionLoader.LoadText(Whole, "dunlin.yaml").Definitions!.Messages[0];

        Assert.Equal(new MessageKey.Identifier(new CanId(0x0C8, false)), message.Key);
        Assert.Equal(("chassis", "engine-controller", 8), (message.Bus, message.From, message.Length));
        Assert.Equal(["cluster", "transmission", "climate"], message.NeededBy);
        Assert.Equal(new MessageTiming { Every = FrameSpan.FromMilliseconds(10), LateAfter = FrameSpan.FromMilliseconds(15), StaleAfter = FrameSpan.FromMilliseconds(100) }, message.Timing);
        Assert.Equal("KeyPosition >= 2", message.While!.Text);
        Assert.Equal(new CounterDefinition(new BitField(new BitPosition(6, 3), 4, ByteOrder.Big)) { Step = 1, Modulo = 16 }, message.Counter);
        Assert.Equal(new CrcParameters(8, 0x1D, 0xFF, 0xFF, false), message.Checksum!.Crc);
        Assert.Equal([new ByteRange(0, 6)], message.Checksum.Over);
        Assert.Equal("0FFF0080", Convert.ToHexString(message.Lives.Span));
        Assert.Equal(("0000A703", "00F0FF0F", "-- 0- A7 -3"), (Convert.ToHexString(message.Constant!.Value.Span), Convert.ToHexString(message.Constant.Mask.Span), message.Constant.ToString()));
        Assert.Equal("0FA07B0000030073", Convert.ToHexString(message.Examples[0].Payload.Span));
        Assert.Equal(["EngineSpeed 1000", "CoolantTemp 83", "Gear "], message.Examples[0].Gives.Select(each => $"{each.Signal} {each.Number}"));
        Assert.Equal(new TextPlace("dunlin.yaml", 13, 3, 11), message.Place);
    }

    [Theory]
    [InlineData("FF F", "bad-frame")]
    [InlineData("00 00", "bad-frame")]
    [InlineData("00 00 00 01", "beyond-payload")]
    public void Living_bits_that_cannot_be_are_a_fault_at_their_place(string lives, string code)
    {
        var result = DefinitionLoader.LoadText($"busscope: 1\nmessages:\n  A: {{ id: 1, length: 3, lives: {lives} }}\n", "a.yaml");

        var fault = Assert.Single(result.Diagnostics);
        Assert.Equal((code, 3, 33), (fault.Code, fault.Place.Line, fault.Place.Column));
    }

    [Theory]
    [InlineData("FF F", "bad-frame")]
    [InlineData("-- --", "bad-frame")]
    [InlineData("0- ..", "bad-frame")]
    [InlineData("-- -- -- -0", "beyond-payload")]
    public void A_constant_payload_that_cannot_be_is_a_fault_at_its_place(string constant, string code)
    {
        var result = DefinitionLoader.LoadText($"busscope: 1\nmessages:\n  A: {{ id: 1, length: 3, constant: {constant} }}\n", "a.yaml");

        var fault = Assert.Single(result.Diagnostics);
        Assert.Equal((code, 3, 36), (fault.Code, fault.Place.Line, fault.Place.Column));
    }

    [Fact]
    public void A_bus_has_any_name_that_a_capture_may_give_it()
    {
        var definitions = DefinitionLoader.LoadText("busscope: 1\nbuses: { Channel 1: {}, \"x: y\": {}, 'null': {} }\nmessages:\n  A: { id: 1, bus: Channel 1 }\n  B: { id: 1, bus: \"x: y\" }\n", "car.yaml").Definitions!;

        Assert.Equal(["Channel 1", "x: y", "null"], definitions.Buses.Select(bus => bus.Name));
        Assert.Equal(["Channel 1", "x: y"], definitions.Messages.Select(message => message.Bus));
    }

    [Theory]
    [InlineData("\"\"", "bad-name")]
    [InlineData("\"  \"", "bad-name")]
    [InlineData("\"a\\eb\"", "bad-text")]
    public void A_bus_has_no_name_that_is_blank_or_has_control_characters(string name, string code)
    {
        var result = DefinitionLoader.LoadText($"busscope: 1\nbuses:\n  {name}: {{}}\n", "car.yaml");

        Assert.Equal(code, Assert.Single(result.Diagnostics).Code);
    }

    [Fact]
    public void Signals_have_what_their_keys_say()
    {
        var definitions = DefinitionLoader.LoadText(Whole, "dunlin.yaml").Definitions!;
        var signals = definitions.Messages.SelectMany(message => message.Signals).ToDictionary(signal => signal.Name);

        Assert.Equal(new BitField(new BitPosition(0, 7), 16, ByteOrder.Big), signals["EngineSpeed"].Field);
        Assert.Equal((0.25, "rpm", 0, 9000), (signals["EngineSpeed"].Scale, signals["EngineSpeed"].Unit, signals["EngineSpeed"].Minimum, signals["EngineSpeed"].Maximum));
        Assert.Equal([new RawRange(0xFFFF, 0xFFFF)], signals["EngineSpeed"].NotAvailable);
        Assert.Equal(new BitField(new BitPosition(3, 7), 12, ByteOrder.Big), signals["TorqueRequest"].Field);
        Assert.Equal(SignalEncoding.Signed, signals["TorqueRequest"].Encoding);
        Assert.Equal([new NamedValue(0, "park"), new(1, "reverse"), new(2, "neutral"), new(3, "drive")], signals["Gear"].Values);
        Assert.Equal(new BitField(new BitPosition(0, 0), 16, ByteOrder.Little), signals["WheelFront"].Field);
        Assert.Equal([new RawRange(0xFB00, 0xFDFF)], signals["WheelFront"].Reserved);
        Assert.Equal([new RawRange(0xFE00, 0xFEFF)], signals["WheelFront"].Error);
        Assert.Equal([new RawRange(0xFF00, 0xFFFF)], signals["WheelFront"].NotAvailable);
        Assert.Equal(new BitField(new BitPosition(2, 0), 16, ByteOrder.Little), signals["WheelRear"].Field);
        Assert.Equal((500, true), (signals["WheelRear"].LargestRate, signals["WheelRear"].Lives));
    }

    [Fact]
    public void The_generated_file_of_a_thousand_signals_loads()
    {
        var path = RepoFiles.Path("..", "perf", "big.yaml");
        Assert.SkipUnless(File.Exists(path), "the generated definition file is absent");

        var result = DefinitionLoader.Load([path]);

        Assert.Equal(1056, result.Definitions!.Messages.Sum(message => message.Signals.Count));
    }
}
