using BusScope.Frames.Wire;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Frames.Tests.Wire;

/// <summary>Frame 400 with this payload takes 122 bits (WireLengthTests): 24.4 % of a bus of 500 bit/s for each one a second.</summary>
public class BusLoadMeterTests
{
    private const string Payload = "0C 02 A0 04 04 04 00 00";
    private const double One = 24.4;

    [Fact]
    public void Mean_peak_and_latest_are_shares_of_whole_seconds()
    {
        var meter = Metered(0, 100, 200, 1_000, 2_000, 2_100, 3_000);

        Assert.Equal(3 * One, meter.Peak!.Value, 1e-9);
        Assert.Equal(2 * One, meter.Latest!.Value, 1e-9);
        Assert.Equal(7 * One / 3, meter.Mean!.Value, 1e-9);
        Assert.Equal(7 * 122, meter.Bits);
    }

    [Fact]
    public void Before_a_second_is_over_there_is_neither_peak_nor_latest()
    {
        Assert.Null(Metered().Mean);
        Assert.Null(Metered(5).Mean);
        var meter = Metered(0, 999);

        Assert.Null(meter.Peak);
        Assert.Null(meter.Latest);
        Assert.Equal(2 * One / 0.999, meter.Mean!.Value, 1e-9);
    }

    [Fact]
    public void Silence_counts_as_no_load()
    {
        var meter = Metered(0, 0, 500);

        meter.Advance(new FrameTime(10 * FrameSpan.NanosecondsPerSecond));

        Assert.Equal(3 * One, meter.Peak!.Value, 1e-9);
        Assert.Equal(0, meter.Latest!.Value);
        Assert.Equal(3 * One / 10, meter.Mean!.Value, 1e-9);
    }

    [Fact]
    public void A_small_step_back_loses_no_bits_and_a_large_one_starts_the_clock_anew()
    {
        var meter = Metered(22_000, 22_100, 22_090, -364, 636, 1_636);

        Assert.Equal(6 * One / 2.1, meter.Mean!.Value, 1e-9);
        Assert.Equal(One, meter.Peak!.Value, 1e-9);
    }

    [Fact]
    public void Error_reports_take_no_bits()
    {
        var meter = new BusLoadMeter(500);

        meter.Add(Some.Frame(4, "00 00", 0, kinds: FrameKinds.ErrorReport));
        meter.Add(Some.Frame(4, "00 00", 1_000, kinds: FrameKinds.ErrorReport));

        Assert.Equal(0, meter.Mean);
    }

    [Fact]
    public void The_data_phase_counts_at_its_own_rate()
    {
        var frame = Some.Frame(0x2AA, "55", 0, kinds: FrameKinds.FlexibleDataRate | FrameKinds.BitRateSwitch);
        var bits = WireLength.Of(frame);
        var meter = new BusLoadMeter(500, 2_000);

        meter.Add(frame);
        meter.Advance(new FrameTime(FrameSpan.NanosecondsPerSecond));

        Assert.Equal(100 * ((bits.Nominal / 500.0) + (bits.Data / 2_000.0)), meter.Mean!.Value, 1e-9);
    }

    [Fact]
    public void Metering_allocates_nothing()
    {
        var meter = new BusLoadMeter(500_000);
        var frame = Some.Frame(0x400, Payload);

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 10_000; i++)
            {
                meter.Add(frame);
            }
        }));
    }

    [Fact]
    public void A_bus_has_a_load_where_its_bit_rate_is_known()
    {
        var meter = BusLoadMeter.Of(new Bus("chassis") { BitRate = 500_000, DataBitRate = 2_000_000 });

        Assert.Equal((500_000, 2_000_000), (meter?.BitRate, meter?.DataBitRate));
        Assert.Null(BusLoadMeter.Of(new Bus("chassis") { DataBitRate = 2_000_000 }));
    }

    private static BusLoadMeter Metered(params ReadOnlySpan<double> milliseconds)
    {
        var meter = new BusLoadMeter(500);
        foreach (var at in milliseconds)
        {
            meter.Add(Some.Frame(0x400, Payload, at));
        }

        return meter;
    }
}
