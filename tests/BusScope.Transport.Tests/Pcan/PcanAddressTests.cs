using System.Text.RegularExpressions;
using BusScope.Transport.Pcan;
using Xunit;

namespace BusScope.Transport.Tests.Pcan;

public partial class PcanAddressTests
{
    private static PcanAddress? Parse(string text, out string? fault) =>
        PcanAddress.Parse(text, rate => rate switch { "500k" => 500_000, "2M" => 2_000_000, "83.333k" => 83_333, "123k" => 123_000, _ => null }, out fault);

    // Handles and timings from PCANBasic.h (2022-11-17).
    [Theory]
    [InlineData("usb1@500k", 0x51, 0x001C)]
    [InlineData("usb8@500k", 0x58, 0x001C)]
    [InlineData("usb9@500k", 0x509, 0x001C)]
    [InlineData("usb16@83.333k", 0x510, 0x852B)]
    [InlineData("pci1@500k", 0x41, 0x001C)]
    [InlineData("pci16@500k", 0x410, 0x001C)]
    [InlineData("lan8@500k", 0x808, 0x001C)]
    [InlineData("lan9@500k", 0x809, 0x001C)]
    [InlineData("pccard2@500k", 0x62, 0x001C)]
    public void Channels_and_bit_rates_are_those_of_the_makers_header(string text, int channel, int timing)
    {
        var address = Parse(text, out var fault);

        Assert.Null(fault);
        Assert.Equal((channel, timing), ((int)address!.Channel, (int)address.ClassicTiming!));
        Assert.Null(address.FlexibleTiming);
    }

    [Theory]
    [InlineData("usb0@500k", "there is no channel 'usb0': usb1 to usb16, pci1 to pci16, lan1 to lan16, pccard1, pccard2")]
    [InlineData("usb01@500k", "there is no channel 'usb01': usb1 to usb16, pci1 to pci16, lan1 to lan16, pccard1, pccard2")]
    [InlineData("usb17@500k", "there is no channel 'usb17': usb1 to usb16, pci1 to pci16, lan1 to lan16, pccard1, pccard2")]
    [InlineData("", "there is no channel '': usb1 to usb16, pci1 to pci16, lan1 to lan16, pccard1, pccard2")]
    [InlineData("usb1", "at which bit rate? Write pcan:usb1@500k, or pcan:usb1@500k/2M for CAN FD")]
    [InlineData("usb1@fast", "cannot run at 'fast': Classical CAN at one of 1M, 800k, 500k, 250k, 125k, 100k, 95.238k, 83.333k, 50k, 47.619k, 33.333k, 20k, 10k, 5k; CAN FD at two rates that divide 80 MHz, as 500k/2M")]
    [InlineData("usb1@123k", "cannot run at '123k': Classical CAN at one of 1M, 800k, 500k, 250k, 125k, 100k, 95.238k, 83.333k, 50k, 47.619k, 33.333k, 20k, 10k, 5k; CAN FD at two rates that divide 80 MHz, as 500k/2M")]
    [InlineData("usb1@500k/fast", "cannot run at '500k/fast': Classical CAN at one of 1M, 800k, 500k, 250k, 125k, 100k, 95.238k, 83.333k, 50k, 47.619k, 33.333k, 20k, 10k, 5k; CAN FD at two rates that divide 80 MHz, as 500k/2M")]
    public void What_is_wrong_is_told_with_what_would_be_right(string text, string expected)
    {
        Assert.Null(Parse(text, out var fault));

        Assert.Equal(expected, fault);
    }

    [Fact]
    public void A_timing_of_ones_own_is_handed_on_as_it_is()
    {
        const string Own = "f_clock=80000000,nom_brp=10,nom_tseg1=5,nom_tseg2=2,nom_sjw=1,data_brp=4,data_tseg1=7,data_tseg2=2,data_sjw=1";

        Assert.Equal(Own, Parse($"usb1@{Own}", out _)!.FlexibleTiming);
    }

    [Theory]
    [InlineData(500_000, 2_000_000)]
    [InlineData(500_000, 5_000_000)]
    [InlineData(1_000_000, 8_000_000)]
    [InlineData(250_000, 1_000_000)]
    [InlineData(125_000, 500_000)]
    [InlineData(1_000_000, 4_000_000)]
    public void A_timing_gives_its_rates_exactly_and_samples_at_four_fifths(long bitRate, long dataBitRate)
    {
        var timing = PcanTiming.Of(bitRate, dataBitRate)!;

        // The bit time is a synchronisation quantum and the two segments (ISO 11898-1).
        var values = Setting().Matches(timing).ToDictionary(match => match.Groups[1].Value, match => long.Parse(match.Groups[2].Value));
        foreach (var (phase, rate) in new[] { ("nom", bitRate), ("data", dataBitRate) })
        {
            var quanta = 1 + values[$"{phase}_tseg1"] + values[$"{phase}_tseg2"];
            Assert.Equal(rate * values[$"{phase}_brp"] * quanta, values["f_clock"]);
            Assert.InRange((1.0 + values[$"{phase}_tseg1"]) / quanta, 0.75, 0.85);
            Assert.InRange(values[$"{phase}_sjw"], 1, values[$"{phase}_tseg2"]);
        }

        Assert.Equal(values["nom_brp"], values["data_brp"]);
    }

    [Fact]
    public void A_rate_that_80_MHz_cannot_give_has_no_timing()
    {
        Assert.Null(PcanTiming.Of(500_000, 3_000_000));
        Assert.Null(PcanTiming.Of(83_333, 2_000_000));
        Assert.Null(PcanTiming.Of(500_000, 0));
    }

    [GeneratedRegex(@"(\w+)=(\d+)")]
    private static partial Regex Setting();
}
