using System.Globalization;
using System.Text;
using CsCheck;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>A healthy car by which a definition file is GO is GO as well once something was learned of it into that file.</summary>
public class LearnIntoFileTests
{
    // Two buses; 0x200 comes on both, from two senders.
    private static readonly (string Bus, uint Id, int Period, Func<int, byte[]> Payload)[] car =
    [
        ("pt", 0x100, 10, i => [(byte)(i * 7), (byte)(i * 3 / 2), 1, (byte)(i & 15)]),
        ("pt", 0x200, 100, i => [1, (byte)(i / 3)]),
        ("body", 0x200, 100, i => [2, 0, (byte)(i & 15)]),
        ("body", 0x300, 50, i => [(byte)(i * 5), 0]),
        ("body", 0x18FE_F121, 400, _ => [9]),
    ];

    // How a file may say a message: not at all, with its bus, or without.
    private static readonly string?[][] forms =
    [
        [null, "  M1: { id: 0x100, bus: pt, every: 10 ms, needed-by: [me] }", "  M1: { id: 0x100, every: 10 ms, needed-by: [me] }"],
        [null, "  M2: { id: 0x200, bus: pt, every: 100 ms, needed-by: [me] }", "  M2: { id: 0x200, every: 100 ms, needed-by: [me] }", "  M2: { id: 0x200, needed-by: [me] }"],
        [null, "  M3: { id: 0x200, bus: body, every: 100 ms, needed-by: [me] }"],
        [null, "  M4: { id: 0x300, bus: body, every: 50 ms, needed-by: [me] }", "  M4: { id: 0x300, every: 50 ms, needed-by: [me] }"],
        [null, "  M5: { id: 0x18FEF121, extended: true, every: 400 ms, needed-by: [me] }", "  M5: { pgn: 0xFEF1, every: 400 ms, needed-by: [me] }", "  M5: { pgn: 0xFEF1, bus: body, every: 400 ms, needed-by: [me] }"],
    ];

    [Fact]
    public void A_message_gets_its_frames_whether_the_file_names_its_bus_or_not() =>
        Gen.Select(Gen.Int[0, 2], Gen.Int[0, 3], Gen.Int[0, 1], Gen.Int[0, 2], Gen.Int[0, 3]).Where((a, b, c, d, e) => a + b + d + e > 0).Sample((a, b, c, d, e) =>
        {
            var chosen = ((int[])[a, b, c, d, e]).Select((form, message) => forms[message][form]).OfType<string>().ToList();
            AssertStaysGo($"busscope: 1\nbuses: {{ pt: {{}}, body: {{}} }}\nmodules: {{ me: {{ title: Me }} }}\nmessages:\n{string.Join('\n', chosen)}\n", car);
        }, iter: 12);

    [Fact]
    public void The_only_bus_may_have_another_name_in_the_file() =>
        AssertStaysGo(
            "busscope: 1\nbuses: { engine: {} }\nmodules: { me: { title: Me } }\nmessages:\n  M1: { id: 0x100, bus: engine, every: 10 ms, needed-by: [me] }\n",
            [.. car.Where(message => message.Bus == "pt")]);

    [Fact]
    public void The_times_that_the_file_has_for_its_own_messages_are_not_those_of_what_is_added() =>
        AssertStaysGo(
            "busscope: 1\ndefaults: { stale-after: 60 ms, late-after: 12 ms, order: big }\nmodules: { me: { title: Me } }\nmessages:\n  M1: { id: 0x100, every: 10 ms, needed-by: [me] }\n  M3: { id: 0x300, needed-by: [me] }\n",
            car);

    [Fact]
    public void A_message_that_names_no_bus_gets_what_holds_on_each_bus_where_it_comes()
    {
        using var folder = new ScratchFolder();
        var file = folder.Write("own.yaml", "busscope: 1\nmessages:\n  Twice: { id: 0x200 }\n");

        CommandRun.Of("learn", folder.Write("car.csv", Capture(car)), "--out", file);

        Assert.Contains("  Twice: { every: 100 ms, id: 0x200 }\n", File.ReadAllText(file), StringComparison.Ordinal);
    }

    private static void AssertStaysGo(string definitions, (string Bus, uint Id, int Period, Func<int, byte[]> Payload)[] messages)
    {
        using var folder = new ScratchFolder();
        var capture = folder.Write("car.csv", Capture(messages));
        var file = folder.Write("own.yaml", definitions);
        LearnedFile.AssertGo(capture, file);

        var learned = CommandRun.Of("learn", capture, "--out", file);

        Assert.Equal((0, ""), (learned.Status, learned.Error));
        Assert.DoesNotContain("not in the captures", learned.Output, StringComparison.Ordinal);
        LearnedFile.AssertFine(file);
        LearnedFile.AssertGo(capture, file);
    }

    private static string Capture((string Bus, uint Id, int Period, Func<int, byte[]> Payload)[] messages)
    {
        var text = new StringBuilder("time_s,bus,id,extended,fd,length,data\n");
        foreach (var (time, message, i) in messages.SelectMany((message, place) => Enumerable.Range(0, 12_000 / message.Period).Select(i => ((i * message.Period) + place, message, i))).OrderBy(sent => sent.Item1))
        {
            var payload = message.Payload(i);
            text.Append(CultureInfo.InvariantCulture, $"{time / 1000.0:F6},{message.Bus},{message.Id:X},{(message.Id > 0x7FF ? 1 : 0)},0,{payload.Length},{Convert.ToHexString(payload)}\n");
        }

        return text.ToString();
    }
}
