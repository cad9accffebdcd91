using System.Globalization;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Signals.Tests.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Published;

public class DecodeTests
{
    // SAE J1939-21 by the Linux kernel's Documentation/networking/j1939.rst; the rows are computed from it, some frames are real.
    public static TheoryData<string, int, int, string, string> Identifiers =>
        [.. PublishedTable.Rows("j1939_id.csv").Select(row => (row[0], int.Parse(row[1]), int.Parse(row[2]), row[4], row[5]))];

    // Real frames of two marine engines with the values published beside them in a public repository; layouts by the engine
    // maker's J1939-71 interface document stored there.
    public static TheoryData<string, string, int, int, double, double, ulong, double> RealFrames =>
        [.. PublishedTable.Rows("j1939_real_decode.csv").Select(row => (row[0], row[1], int.Parse(row[3]), int.Parse(row[4]), Number(row[5]), Number(row[6]), ulong.Parse(row[7]), Number(row[8])))];

    // SAE J1939-71 ranges by the top byte, read in public test suites.
    public static TheoryData<int, string, ulong, ulong> Ranges =>
        [.. PublishedTable.Rows("j1939_ranges.csv").Select(row => (int.Parse(row[0]), row[1], Hex(row[2]), Hex(row[3])))];

    // SAE J1979 formulas, read in three public tables that agree; 1F, 2F, 42, 46, 52, 5C and 5E from memory. Values computed.
    public static TheoryData<string, string, string, double> Pids =>
        [.. PublishedTable.Rows("obd_pids.csv").Select(row => (row[0], row[1], row[2], Number(row[3])))];

    [Theory]
    [MemberData(nameof(Identifiers))]
    public void An_identifier_comes_apart_as_published(string id, int priority, int pgn, string destination, string source)
    {
        var extended = new CanId((uint)Hex(id), true);

        var parts = J1939Id.From(extended);

        Assert.Equal(new J1939Id(priority, pgn, (int)Hex(destination), (int)Hex(source)), parts);
        Assert.Equal(extended, parts.ToCanId());
    }

    [Theory]
    [MemberData(nameof(RealFrames))]
    public void A_real_frame_decodes_to_its_published_value(string id, string data, int start, int length, double scale, double offset, ulong raw, double value)
    {
        var pgn = J1939Id.From(new CanId((uint)Hex(id), true)).Pgn;
        var message = Define.Message(Define.Signal(Define.Little(start, 0, length)) with { Scale = scale, Offset = offset }) with { Key = new MessageKey.ParameterGroup(pgn, null) };
        var plan = new DefinitionPlan(new DefinitionSet { Messages = [message] });

        var found = plan.Find("engine", onlyBus: true, new CanId((uint)Hex(id), true));
        var sample = plan.Messages[found].Read(0, Some.Bytes(data));

        Assert.Equal(raw, sample.Raw);
        Assert.Equal(value, sample.Value, 5);
        Assert.Equal(SampleQuality.Ok, sample.Quality);
    }

    [Theory]
    [MemberData(nameof(Ranges))]
    public void A_raw_range_says_what_is_published(int length, string kind, ulong from, ulong to)
    {
        ulong At(int top) => (ulong)top << (length - 8);
        var plan = new MessagePlan(Define.Message(Define.Signal(Define.Little(0, 0, length)) with
        {
            NotAvailable = [new RawRange(At(0xFF), At(0x100) - 1)],
            Error = [new RawRange(At(0xFE), At(0xFF) - 1)],
            Reserved = [new RawRange(At(0xFB), At(0xFE) - 1)],
        })).Signals[0];
        var expected = kind switch
        {
            "valid" => SampleQuality.Ok,
            "error" => SampleQuality.Error,
            "not available" => SampleQuality.NotAvailable,
            _ => SampleQuality.OutOfRange,
        };

        Assert.Equal(expected, plan.Judge(from).Quality);
        Assert.Equal(expected, plan.Judge(to).Quality);
    }

    [Theory]
    [MemberData(nameof(Pids))]
    public void An_answer_reads_as_its_formula_says(string pid, string data, string formula, double value)
    {
        var (scale, offset) = formula switch
        {
            "(256A+B)/4" => (0.25, 0.0),
            "A-40" => (1, -40),
            "A" or "256A+B" => (1, 0),
            "A*100/255" => (100.0 / 255, 0),
            "(A-128)*100/128" => (100.0 / 128, -100),
            "A/2-64" => (0.5, -64),
            "(256A+B)/100" => (0.01, 0),
            "(256A+B)/1000" => (0.001, 0),
            "(256A+B)/20" => (0.05, 0),
            _ => throw new InvalidDataException(formula),
        };
        var signal = Define.Signal(Define.Big(3, 7, data.Length * 4), "Value") with
        {
            Scale = scale,
            Offset = offset,
            When = [new SelectorCondition("Pid", [new RawRange(Hex(pid), Hex(pid))])],
        };
        var plan = new MessagePlan(Define.Message(Define.Signal(Define.Byte(2), "Pid"), signal));
        var answer = Some.Bytes($"0441{pid}{data}");

        // The table has six significant digits.
        Assert.Equal(value, plan.Read(1, answer).Value, Math.Max(1e-9, Math.Abs(value) * 5e-6));
        answer[2] ^= 1;
        Assert.Equal(SampleQuality.Absent, plan.Read(1, answer).Quality);
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static ulong Hex(string text) => ulong.Parse(text, NumberStyles.HexNumber, CultureInfo.InvariantCulture);
}
