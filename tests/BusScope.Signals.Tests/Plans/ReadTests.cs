using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public class ReadTests
{
    // IEEE 754: 1.5 is 3FC00000 and 3FF8000000000000.
    [Theory]
    [InlineData(32, "3FC00000", 1.5, SampleQuality.Ok)]
    [InlineData(64, "3FF8000000000000", 1.5, SampleQuality.Ok)]
    [InlineData(32, "7FC00000", double.NaN, SampleQuality.NotAvailable)]
    [InlineData(32, "7F800000", double.PositiveInfinity, SampleQuality.OutOfRange)]
    public void A_float_is_read_by_its_length(int length, string hex, double value, SampleQuality quality)
    {
        var sample = Plan(Define.Signal(Define.Big(0, 7, length)) with { Encoding = SignalEncoding.Float }).Read(0, Some.Bytes(hex));

        Assert.Equal((value, quality), (sample.Value, sample.Quality));
    }

    [Theory]
    [InlineData("1234", 1234, SampleQuality.Ok)]
    [InlineData("99FF", double.NaN, SampleQuality.OutOfRange)]
    public void Packed_decimal_has_a_digit_in_four_bits(string hex, double value, SampleQuality quality)
    {
        var sample = Plan(Define.Signal(Define.Big(0, 7, 16)) with { Encoding = SignalEncoding.PackedDecimal }).Read(0, Some.Bytes(hex));

        Assert.Equal((value, quality), (sample.Value, sample.Quality));
    }

    [Theory]
    [InlineData("4142432020", "ABC")]
    [InlineData("4142004344", "AB")]
    [InlineData("0000000000", "")]
    [InlineData("41424344", null)]
    public void A_text_ends_at_a_zero_byte_or_trailing_blanks(string hex, string? text)
    {
        var plan = Plan(Define.Signal(Define.Big(0, 7, 40)) with { Encoding = SignalEncoding.Text });

        Assert.Equal(text, plan.Signals[0].Text(Some.Bytes(hex)));
        Assert.Equal(text is null ? SampleQuality.Absent : SampleQuality.Ok, plan.Read(0, Some.Bytes(hex)).Quality);
    }

    [Fact]
    public void A_text_written_is_read_back()
    {
        var payload = new byte[6];

        PayloadWriter.Write(payload, Define.Big(1, 7, 40), "Düne");

        Assert.Equal("D?ne", Plan(Define.Signal(Define.Big(1, 7, 40)) with { Encoding = SignalEncoding.Text }).Signals[0].Text(payload));
    }

    [Fact]
    public void A_special_value_goes_before_the_range_and_has_no_physical_value()
    {
        var plan = Plan(Define.Signal(Define.Byte(0)) with
        {
            NotAvailable = [new RawRange(0xFF, 0xFF)],
            Error = [new RawRange(0xFE, 0xFF)],
            Reserved = [new RawRange(0xFB, 0xFD)],
            Minimum = 10,
            Maximum = 0xFC,
        });

        Assert.Equal(new Sample(0xFF, double.NaN, SampleQuality.NotAvailable), plan.Read(0, [0xFF]));
        Assert.Equal(new Sample(0xFE, double.NaN, SampleQuality.Error), plan.Read(0, [0xFE]));
        Assert.Equal(new Sample(0xFB, 0xFB, SampleQuality.OutOfRange), plan.Read(0, [0xFB]));
        Assert.Equal(new Sample(9, 9, SampleQuality.OutOfRange), plan.Read(0, [9]));
        Assert.Equal(new Sample(10, 10, SampleQuality.Ok), plan.Read(0, [10]));
    }

    // 3 x 0.1 is 0.30000000000000004 in binary; nobody who writes "range: 0..0.3" means to exclude it.
    [Theory]
    [InlineData(0.1, 0, 0, 0.3, 3)]
    [InlineData(0.1, -40, -40, -39.7, 3)]
    [InlineData(-0.1, 0, -0.3, 0, 3)]
    public void A_value_on_the_limit_of_its_range_is_inside(double scale, double offset, double minimum, double maximum, byte last)
    {
        var plan = Plan(Define.Signal(Define.Byte(0)) with { Scale = scale, Offset = offset, Minimum = minimum, Maximum = maximum });

        Assert.Equal(SampleQuality.Ok, plan.Read(0, [0]).Quality);
        Assert.Equal(SampleQuality.Ok, plan.Read(0, [last]).Quality);
        Assert.Equal(SampleQuality.OutOfRange, plan.Read(0, [(byte)(last + 1)]).Quality);
    }

    [Fact]
    public void A_selector_behind_a_selector_must_select_too()
    {
        var plan = Plan(
            Define.Signal(Define.Byte(0), "Outer"),
            Define.Signal(Define.Byte(1), "Inner") with { When = [new SelectorCondition("Outer", [new RawRange(1, 1)])] },
            Define.Signal(Define.Byte(2), "Value") with { When = [new SelectorCondition("Inner", [new RawRange(5, 6), new RawRange(9, 9)])] });

        Assert.Equal(SampleQuality.Ok, plan.Read(2, [1, 5, 7]).Quality);
        Assert.Equal(SampleQuality.Ok, plan.Read(2, [1, 9, 7]).Quality);
        Assert.Equal(SampleQuality.Absent, plan.Read(2, [1, 7, 7]).Quality);
        Assert.Equal(SampleQuality.Absent, plan.Read(2, [2, 5, 7]).Quality);
        Assert.Equal(new Sample(0, double.NaN, SampleQuality.Absent), plan.Read(2, [1, 5]));
    }

    [Fact]
    public void A_raw_value_has_its_name_by_sign()
    {
        var plan = Plan(Define.Signal(Define.Little(0, 0, 4)) with
        {
            Encoding = SignalEncoding.Signed,
            Scale = 2,
            Values = [new NamedValue(-1, "reverse"), new NamedValue(0, "neutral"), new NamedValue(3, "third")],
        }).Signals[0];

        Assert.Equal(["reverse", "neutral", "third", null], [plan.NameOf(0xF), plan.NameOf(0), plan.NameOf(3), plan.NameOf(4)]);
        Assert.Equal([-2, 0, 6, null], [plan.ValueOf("reverse"), plan.ValueOf("neutral"), plan.ValueOf("third"), plan.ValueOf("fourth")]);
    }

    [Theory]
    [InlineData(SignalEncoding.Unsigned, 8, 0.5, 10, 20)]
    [InlineData(SignalEncoding.Unsigned, 8, 0.5, -1, 0)]
    [InlineData(SignalEncoding.Unsigned, 8, 0.5, 1000, 255)]
    [InlineData(SignalEncoding.Signed, 8, 0.5, -1, 0xFE)]
    [InlineData(SignalEncoding.Signed, 8, 0.5, -1000, 0x80)]
    [InlineData(SignalEncoding.Signed, 64, 1, 1e30, 0x7FFFFFFFFFFFFFFF)]
    [InlineData(SignalEncoding.PackedDecimal, 16, 1, 1234, 0x1234)]
    [InlineData(SignalEncoding.PackedDecimal, 16, 1, 123456, 0x9999)]
    [InlineData(SignalEncoding.Float, 32, 1, 1.5, 0x3FC00000)]
    public void A_physical_value_becomes_the_nearest_raw_value_that_fits(SignalEncoding encoding, int length, double scale, double physical, ulong raw) =>
        Assert.Equal(raw, Plan(Define.Signal(Define.Little(0, 0, length)) with { Encoding = encoding, Scale = scale }).Signals[0].Raw(physical));

    [Theory]
    [InlineData(1, 16, 14, 15)]
    [InlineData(1, 15, 14, 0)]
    [InlineData(-1, 15, 1, 14)]
    public void The_counter_goes_on_by_its_step(int step, int modulo, long count, int expected)
    {
        var plan = new MessagePlan(Define.Message() with { Counter = new CounterDefinition(Define.Little(0, 0, 4)) { Step = step, Modulo = modulo } });
        var payload = new byte[1];

        plan.Protect(count + (step == 1 ? 1 : 0), payload);

        Assert.Equal(expected, plan.Counter(payload));
        Assert.Null(plan.Counter([]));
    }

    private static MessagePlan Plan(params IReadOnlyList<SignalDefinition> signals) => new(Define.Message(signals));
}
