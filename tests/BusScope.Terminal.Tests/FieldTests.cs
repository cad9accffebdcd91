using System.Globalization;
using System.Numerics;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Terminal.Screens;
using BusScope.TestKit;
using CsCheck;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>Defining a signal from the screen, bit by bit, into a definition file.</summary>
public sealed class FieldTests : IDisposable
{
    private const string Chassis = """
        # The engine.
        busscope: 1
        buses:
          chassis: { bitrate: 500 kbit/s }
        messages:
          EngineSpeed:   # every 10 ms
            id: 0x0C8
            bus: chassis
            length: 8
            signals:
              EngineSpeed: { bytes: 0..1, order: big, scale: 0.25, unit: rpm }   # not the idle speed
              CoolantTemp: { byte: 2, offset: -40, unit: "°C" }
            note: the first of all

          # Nothing is known of it but that it comes.
          EngineTorque: { id: 0x0D1, bus: chassis }

        """;

    private readonly string folder = Directory.CreateTempSubdirectory("busscope-fields-").FullName;

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    private string File => Path.Combine(folder, "chassis.yaml");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_field_that_is_being_defined(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Long with { Health = Dunlin.Undocumented.Health }, width, height);

        screen.Press(Key.Enter, Key.CursorDown, Key.CursorDown, (Key)'d', Key.CursorDown, Key.CursorRight, Key.CursorRight, Key.CursorRight);
        screen.Press(Key.Tab, Key.Enter, Key.Tab, Key.Enter).Type("").Press(Key.Backspace).Type("0.5").Press(Key.Enter);
        MessagePageTests.Answer(screen);

        Snapshot.Match(screen.Text, $"{width}x{height}");
        Assert.Equal(new BitField(new BitPosition(2, 7), 12, ByteOrder.Big), screen.FollowedMessage!.Field!.Field);
    }

    [Fact]
    public void A_field_is_written_behind_the_other_signals_of_its_message_and_all_else_stays()
    {
        using var screen = Open();

        Define(screen, Key.CursorDown, Key.CursorDown, Key.CursorDown).Press((Key)'w').Type("OilTemp").Press(Key.Enter);

        Assert.Contains("OilTemp is read from now on", screen.Text, StringComparison.Ordinal);
        var line = "      CoolantTemp: { byte: 2, offset: -40, unit: \"°C\" }\n";
        Assert.Equal(Chassis.Replace(line, line + "      OilTemp: { byte: 3, bits: 7 }\n", StringComparison.Ordinal), System.IO.File.ReadAllText(File));
        Assert.Matches("▸D OilTemp +0", screen.Pass(5).Text);
        Assert.Contains("OilTemp", screen.Press((Key)'v').Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_somebody_else_wrote_meanwhile_is_kept()
    {
        using var screen = Open();
        Define(screen, Key.CursorDown, Key.CursorDown, Key.CursorDown);
        System.IO.File.AppendAllText(File, "  Other: { id: 0x111, bus: chassis }\n");

        screen.Press((Key)'w').Type("OilTemp").Press(Key.Enter);

        var set = DefinitionLoader.Load([File]).Definitions!;
        Assert.Equal(["EngineSpeed", "EngineTorque", "Other"], set.Messages.Select(message => message.Name));
        Assert.Contains(set.Messages[0].Signals, signal => signal.Name == "OilTemp");
    }

    [Theory]
    [InlineData("Taken", "CoolantTemp", "has a signal CoolantTemp already")]
    [InlineData("Overlap", "Other", "'Other' shares bits with 'EngineSpeed'")]
    [InlineData("Beyond", "Other", "'Other' reaches byte 8, but the payload ends with byte 7")]
    public void What_cannot_be_written_is_told_and_nothing_typed_is_lost(string what, string name, string told)
    {
        var longer = MessagePageTests.With(OwnFile(), 8, message => message with { Payload = new byte[12] }, 42);
        using var screen = Open(longer);
        var keys = what switch { "Taken" => 3, "Overlap" => 1, _ => 8 };

        Define(screen, [.. Enumerable.Repeat(Key.CursorDown, keys)]).Press((Key)'w').Type(name).Press(Key.Enter);

        Assert.Contains(told[..20], screen.Text, StringComparison.Ordinal);
        Assert.Equal(Chassis, System.IO.File.ReadAllText(File));
        Assert.Contains($"name    {name}", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_with_a_fault_is_left_alone_and_the_fault_is_shown()
    {
        using var screen = Open();
        Define(screen, Key.CursorDown, Key.CursorDown, Key.CursorDown);
        System.IO.File.AppendAllText(File, "  Other: { id: what }\n");
        var before = System.IO.File.ReadAllText(File);

        screen.Press((Key)'w').Type("OilTemp").Press(Key.Enter);

        Assert.Contains("have a fault", screen.Text, StringComparison.Ordinal);
        Assert.Equal(before, System.IO.File.ReadAllText(File));
    }

    [Fact]
    public void An_unknown_identifier_goes_as_a_new_message_into_a_file_that_is_asked_for()
    {
        var file = Path.Combine(folder, "new-signals.yaml");
        using var screen = new HeadlessScreen(Dunlin.Undocumented, options: new ScreenOptions { Additions = new SignalAddition([], System.IO.File.WriteAllText) });

        screen.Press(Key.Enter, Key.CursorDown, (Key)'d', Key.CursorDown, Key.CursorRight);
        Assert.Contains("message chassis_0C8", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Tab.WithShift, Key.Enter);
        Erase(screen, "new-signals.yaml").Type(file).Press(Key.Enter, (Key)'w').Type("First").Press(Key.Enter);
        Assert.Equal("""
            # Signals defined at the screen.
            busscope: 1

            buses:
              chassis: {}

            messages:

              chassis_0C8:
                id: 0x0C8
                bus: chassis
                signals:
                  First: { msb: 1.7, length: 10, order: big }

            """.ReplaceLineEndings("\n"), System.IO.File.ReadAllText(file));

        Assert.Contains("▸A First", screen.Text, StringComparison.Ordinal);
        Assert.Contains("NO DEFINITIONS", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.CursorDown, (Key)'d', (Key)'w').Type("Second").Press(Key.Enter);
        Assert.EndsWith("order: big }\n      Second: { byte: 3, bits: 6 }\n", System.IO.File.ReadAllText(file), StringComparison.Ordinal);
    }

    [Fact]
    public void Another_message_of_the_same_file_follows_behind_the_last()
    {
        using var screen = Open(Dunlin.Undocumented);
        screen.Press(Key.CursorDown, Key.Enter, (Key)'d', Key.Tab.WithShift, Key.Enter);
        Erase(screen, Path.Combine(folder, "new-signals.yaml")).Type(File).Press(Key.Enter, (Key)'w').Type("Switch").Press(Key.Enter);

        Assert.Equal(Chassis.TrimEnd('\n') + "\n\n  chassis_0D9:\n    id: 0x0D9\n    bus: chassis\n    signals:\n      Switch: { byte: 0, bits: 7 }\n\n".TrimEnd('\n') + "\n", System.IO.File.ReadAllText(File).TrimEnd('\n') + "\n");
    }

    [Fact]
    public void Escape_gives_the_field_up_and_then_leaves_the_page()
    {
        using var screen = Open();
        Define(screen);
        Assert.Contains("+ new signal", screen.Text, StringComparison.Ordinal);

        screen.Press(Key.Esc);
        Assert.DoesNotContain("+ new signal", screen.Text, StringComparison.Ordinal);
        Assert.Contains("EngineSpeed 0x0C8", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_number_has_at_most_64_bits()
    {
        using var screen = Open(Dunlin.Long);

        screen.Press(Key.Enter, (Key)'d');
        for (var i = 0; i < 9; i++)
        {
            screen.Press(Key.CursorDown);
        }

        Assert.Contains("a number has at most 64 bits", screen.Text, StringComparison.Ordinal);
        Assert.Contains("0.7 to 7.7, 57 bits", screen.Text, StringComparison.Ordinal);
    }

    /// <summary>
    /// The keys of a person against what the loader reads back from the file, and the value on the screen against one that is put together bit by
    /// bit as docs/definition-files.md says it.
    /// </summary>
    [Fact]
    public void Whatever_field_is_reached_with_keys_is_read_back_from_the_file_and_worth_what_its_bits_say() =>
        Gen.Select(Gen.Int[0, 63], Gen.Int[0, 63], Gen.Bool, Gen.Bool, Gen.Byte.Array[8], Gen.Int[-400, 400].Where(i => i != 0), Gen.Int[-4000, 4000]).Sample(
            (begin, end, isLittle, isSigned, payload, scale, offset) =>
            {
                var choice = new Choice();
                var desk = At(payload, choice);
                var file = Path.Combine(folder, $"{Guid.NewGuid():N}.yaml");

                Move(desk, begin);
                Press(desk, "d");
                Move(desk, end - begin);
                Press(desk, [.. isLittle ? ["enter"] : Array.Empty<string>(), "tab", .. isSigned ? ["enter"] : Array.Empty<string>()]);
                Press(desk, ["tab", "enter", "backspace", .. Typed(scale / 8.0), "enter", "tab", "enter", "backspace", .. Typed(offset / 16.0), "enter"]);
                choice.Field!.File = file;
                var reading = choice.Field.Plan.Read(0, payload);
                Press(desk, ["w", .. "Field".Select(c => c.ToString()), "enter"]);

                var read = DefinitionLoader.Load([file]).Definitions!.Messages.Single();
                Assert.Null(choice.Field);
                Assert.Equal(Field(begin, end, isLittle), read.Signals[0].Field);
                Assert.Equal((isSigned ? SignalEncoding.Signed : SignalEncoding.Unsigned, scale / 8.0, offset / 16.0), (read.Signals[0].Encoding, read.Signals[0].Scale, read.Signals[0].Offset));
                var value = ((double)Raw(begin, end, isLittle, isSigned, payload) * (scale / 8.0)) + (offset / 16.0);
                Assert.Equal(value, reading.Value, 1e-6 * Math.Max(1, Math.Abs(value)));
                Assert.Equal(reading, new MessagePlan(read).Read(0, payload));
            },
            iter: 300);

    // A screen without a terminal and without pictures, on the page of a message with this payload.
    private static Desk At(byte[] payload, Choice choice)
    {
        var snapshot = MessagePageTests.With(Dunlin.Undocumented, 1, message => message with { Payload = payload }, 42);
        var model = new ScreenModel(snapshot);
        var desk = new Desk(choice, model, new Still(snapshot), new Hands((_, _) => { }, _ => { }, _ => { }, () => { }, new SignalAddition([], System.IO.File.WriteAllText)));
        choice.Part = Part.Messages;
        model.Update(snapshot, choice);
        Press(desk, "enter");
        model.Update(snapshot, choice);
        return desk;
    }

    private static void Move(Desk desk, int bits) => Press(desk, [.. Enumerable.Repeat(bits > 0 ? "right" : "left", Math.Abs(bits))]);

    private static void Press(Desk desk, params ReadOnlySpan<string> keys)
    {
        foreach (var key in keys)
        {
            desk.Press(key, key.Length == 1 ? key[0] : null);
        }
    }

    private static IEnumerable<string> Typed(double number) => number.ToString(CultureInfo.InvariantCulture).Select(c => c.ToString());

    // The ends as docs/definition-files.md places them, from places counted along the rows; of several little-endian bytes mirrored in their bytes.
    private static BitField Field(int begin, int end, bool isLittle)
    {
        var (first, last) = (Math.Min(begin, end), Math.Max(begin, end));
        return isLittle && first / 8 != last / 8
            ? new BitField(new BitPosition(first / 8, first % 8), last - first + 1, ByteOrder.Little)
            : new BitField(new BitPosition(first / 8, 7 - (first % 8)), last - first + 1, ByteOrder.Big);
    }

    // Big: from left to right along the rows. Little, over several bytes: the ends mirrored in their bytes, each byte worth 256 times the one before.
    private static BigInteger Raw(int begin, int end, bool isLittle, bool isSigned, byte[] payload)
    {
        var (first, last) = (Math.Min(begin, end), Math.Max(begin, end));
        var bits = new List<int>();
        if (isLittle && first / 8 != last / 8)
        {
            for (var i = last; i >= first; i--)
            {
                // The i-th place of the rows, mirrored, is bit i % 8 of its byte.
                bits.Add(payload[i / 8] >> (i % 8) & 1);
            }
        }
        else
        {
            for (var i = first; i <= last; i++)
            {
                bits.Add(payload[i / 8] >> (7 - (i % 8)) & 1);
            }
        }

        var raw = bits.Aggregate(BigInteger.Zero, (value, bit) => (value * 2) + bit);
        return isSigned && bits[0] == 1 ? raw - BigInteger.Pow(2, bits.Count) : raw;
    }

    private static HeadlessScreen Erase(HeadlessScreen screen, string text)
    {
        for (var i = 0; i < text.Length; i++)
        {
            screen.Press(Key.Backspace);
        }

        return screen;
    }

    // The second module needs the engine speed.
    private static HeadlessScreen Define(HeadlessScreen screen, params ReadOnlySpan<Key> keys) => screen.Press(Key.CursorDown, Key.Enter, Key.Enter).Press(keys).Press((Key)'d');

    private HeadlessScreen Open(SessionSnapshot? snapshot = null)
    {
        System.IO.File.WriteAllText(File, Chassis);
        return new HeadlessScreen(snapshot ?? OwnFile(), options: new ScreenOptions { Additions = new SignalAddition([File], System.IO.File.WriteAllText) });
    }

    // The moment of the invented car, its engine speed defined in the file of this test.
    private SessionSnapshot OwnFile()
    {
        System.IO.File.WriteAllText(File, Chassis);
        var definition = DefinitionLoader.Load([File]).Definitions!.Messages[0];
        return MessagePageTests.With(Dunlin.Healthy, 8, message => message with { Definition = definition with { NeededBy = ["transmission"] } }, 42);
    }

    /// <summary>A session in which nothing happens.</summary>
    private sealed class Still(SessionSnapshot snapshot) : IWatchedSession
    {
        public SessionSnapshot Current => snapshot;

        public ReplayPace? Pace => null;

        public bool CanJump => false;

        public bool Mark(string note) => false;

        public void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message = null)
        {
        }

        public void Widen(DefinitionPlan plan)
        {
        }

        public void JumpTo(FrameTime moment)
        {
        }

        public void StepBack()
        {
        }

        public void Repeat(ReplayLoop? part)
        {
        }
    }
}
