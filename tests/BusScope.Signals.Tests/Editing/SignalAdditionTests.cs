using System.Collections;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Editing;

/// <summary>A signal into a definition file, however the file is written.</summary>
public sealed class SignalAdditionTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("busscope-addition-").FullName;

    private string Target => Path.Combine(folder, "car.yaml");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Theory]
    [InlineData("lines", "  M:\n    id: 0x0C8\n    signals:\n      A: { byte: 0 }   # one\n\n  # another\n  N: { id: 2 }\n", "      A: { byte: 0 }   # one\n      New: { byte: 3 }\n")]
    [InlineData("braces", "  M:\n    id: 0x0C8\n    signals: { A: { byte: 0 } }   # one\n", "signals: { New: { byte: 3 }, A: { byte: 0 } }   # one\n")]
    [InlineData("none yet", "  M:\n    id: 0x0C8   # one\n    note: some\n  # end\n", "    note: some\n    signals:\n      New: { byte: 3 }\n  # end\n")]
    [InlineData("all in braces", "  M: { id: 0x0C8, note: some }   # one\n", "  M: { signals: { New: { byte: 3 } }, id: 0x0C8, note: some }   # one\n")]
    [InlineData("no end of line", "  M:\n    id: 0x0C8\n    signals:\n      A: { byte: 0 }", "      A: { byte: 0 }\n      New: { byte: 3 }\n")]
    [InlineData("another message", "  N:\n    id: 2\n\n# the end\n", "    id: 2\n\n  M:\n    id: 0x0C8\n    bus: chassis\n    signals:\n      New: { byte: 3 }\n\n# the end\n")]
    public void A_signal_finds_its_place_and_every_line_stays(string form, string messages, string expected)
    {
        Assert.NotEmpty(form);
        var before = "# mine\nbusscope: 1\nbuses: # as wired\n  chassis: {}\nmessages:\n" + messages;
        File.WriteAllText(Target, before);

        Assert.Null(Add(Byte(3)));

        var after = File.ReadAllText(Target);
        Assert.Contains(expected, after, StringComparison.Ordinal);
        Assert.All(before.Split('\n').Where(line => line.Contains('#', StringComparison.Ordinal)), line => Assert.Contains(line[line.IndexOf('#', StringComparison.Ordinal)..], after, StringComparison.Ordinal));
    }

    [Fact]
    public void Line_ends_of_the_file_are_kept()
    {
        File.WriteAllText(Target, "busscope: 1\r\nmessages:\r\n  M:\r\n    id: 0x0C8\r\n    signals:\r\n      A: { byte: 0 }\r\n");

        Assert.Null(Add(Byte(3)));

        Assert.EndsWith("      A: { byte: 0 }\r\n      New: { byte: 3 }\r\n", File.ReadAllText(Target), StringComparison.Ordinal);
    }

    [Fact]
    public void Special_raw_values_that_a_file_has_as_its_default_are_not_taken_over()
    {
        File.WriteAllText(Target, "busscope: 1\ndefaults: { raw-ranges: j1939 }\nmessages:\n  M:\n    id: 0x0C8\n    signals:\n      A: { byte: 0 }\n");

        Assert.Null(Add(Byte(3)));

        Assert.Empty(DefinitionLoader.Load([Target]).Definitions!.Messages[0].Signals[1].NotAvailable);
    }

    [Theory]
    [InlineData("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n    signals: {}\n", "nothing can be added to")]
    [InlineData("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n    length: 3\n", "the payload ends with byte 2")]
    [InlineData("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n    counter: { byte: 3, bits: 0..3 }\n", "shares bits with the counter")]
    [InlineData("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n    signals:\n      New: { byte: 1 }\n", "has a signal New already")]
    [InlineData("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\ncomputed:\n  New: { expression: 1 + 1 }\n", "has the name of a signal")]
    [InlineData("busscope: 2\nmessages: {}\n", "have a fault")]
    public void What_would_not_be_right_is_not_written(string before, string why)
    {
        File.WriteAllText(Target, before);

        Assert.Contains(why, Add(Byte(3)), StringComparison.Ordinal);

        Assert.Equal(before, File.ReadAllText(Target));
    }

    [Theory]
    [InlineData("1st", "M", "car.yaml", "cannot be a name")]
    [InlineData("", "M", "car.yaml", "has no name yet")]
    [InlineData("x: y", "M", "car.yaml", "cannot be a name")]
    [InlineData("New", "M-1", "car.yaml", "cannot be a name")]
    [InlineData("New", "M", "car.txt", "must end in .yaml")]
    public void What_can_be_no_name_is_told(string signal, string message, string file, string why) =>
        Assert.Contains(why, new SignalAddition([], File.WriteAllText).Add(new NewSignal(Path.Combine(folder, file), message, Byte(3) with { Name = signal }) { Id = new CanId(0x0C8, false), Bus = "chassis" }), StringComparison.Ordinal);

    [Fact]
    public void Only_the_named_file_of_several_is_written()
    {
        var other = Path.Combine(folder, "other.yaml");
        File.WriteAllText(other, "busscope: 1\nmessages:\n  N: { id: 2 }\n");
        File.WriteAllText(Target, "busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n");

        Assert.Null(new SignalAddition([Target, other], File.WriteAllText).Add(Wanted(Byte(3))));

        Assert.Equal("busscope: 1\nmessages:\n  N: { id: 2 }\n", File.ReadAllText(other));
        Assert.EndsWith("New: { byte: 3 }\n", File.ReadAllText(Target), StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_somebody_writes_while_it_is_checked_is_read_again()
    {
        File.WriteAllText(Target, "busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n");
        var files = new Meddled(Target, () => File.AppendAllText(Target, "  N: { id: 2 }\n"));

        Assert.Null(new SignalAddition(files, File.WriteAllText).Add(Wanted(Byte(3))));

        Assert.True(files.WasMeddledWith);
        Assert.Equal("busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n    signals:\n      New: { byte: 3 }\n  N: { id: 2 }\n", File.ReadAllText(Target));
    }

    [Fact]
    public void A_failure_to_write_is_told()
    {
        File.WriteAllText(Target, "busscope: 1\nmessages:\n  M:\n    id: 0x0C8\n");

        Assert.Equal("the disk is full", new SignalAddition([Target], (_, _) => throw new IOException("the disk is full")).Add(Wanted(Byte(3))));
    }

    [Fact]
    public void Whatever_unit_is_typed_is_read_back() => Gen.String[Gen.Char[" %°/\"\\#:{}[],'&*!|>@`rpmkNnOoFfyesul-?~\u00b5\u2126"], 1, 8].Sample(
        unit =>
        {
            var file = Path.Combine(folder, $"{Guid.NewGuid():N}.yaml");
            var signal = Byte(3) with { Unit = unit };

            Assert.Null(new SignalAddition([], File.WriteAllText).Add(new NewSignal(file, "M", signal) { Id = new CanId(0x18FEF100, true), Bus = " " }));

            var read = DefinitionLoader.Load([file]).Definitions!.Messages[0];
            Assert.Equal((unit, new MessageKey.Identifier(new CanId(0x18FEF100, true)), null), (read.Signals[0].Unit, read.Key, read.Bus));
        },
        iter: 300);

    [Theory]
    [InlineData("Channel 1")]
    [InlineData("a: b, \"c\" \\ # {d}")]
    public void Whatever_the_bus_is_called_a_message_of_it_is_read_back_on_it(string bus)
    {
        Assert.Null(new SignalAddition([], File.WriteAllText).Add(Wanted(Byte(3)) with { Bus = bus }));
        Assert.Null(new SignalAddition([Target], File.WriteAllText).Add(Wanted(Byte(4)) with { Bus = bus, Message = "N", Id = new CanId(0x0C9, false) }));

        var read = DefinitionLoader.Load([Target]).Definitions!;
        Assert.Equal([bus], read.Buses.Select(each => each.Name));
        Assert.Equal([bus, bus], read.Messages.Select(message => message.Bus));
    }

    private static SignalDefinition Byte(int at) => new() { Name = "New", Field = new BitField(new BitPosition(at, 7), 8, ByteOrder.Big) };

    private NewSignal Wanted(SignalDefinition signal) => new(Target, "M", signal) { Id = new CanId(0x0C8, false), Bus = "chassis" };

    private string? Add(SignalDefinition signal) => new SignalAddition([Target], File.WriteAllText).Add(Wanted(signal));

    /// <summary>One file; somebody else writes it after it was read for the first time: each reading asks for the files twice.</summary>
    private sealed class Meddled(string file, Action meddle) : IReadOnlyList<string>
    {
        private int asked;

        public bool WasMeddledWith => asked > 3;

        public int Count => 1;

        public string this[int index] => file;

        public IEnumerator<string> GetEnumerator()
        {
            if (++asked == 3)
            {
                meddle();
            }

            yield return file;
        }

        IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
    }
}
