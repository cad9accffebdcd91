using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcan;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Transport.Tests.Pcan;

/// <summary>
/// The way into the maker's library, by one that stands in for it: calling convention, layouts, the order of the calls, and what
/// each error says. It has not met the real one.
/// </summary>
public class PcanSourceTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 14, 9, 26, 53, TimeSpan.Zero);

    private readonly StandIn library = new();
    private readonly FakeTimeProvider time = new(Start);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private PcanSource Open(string address = "usb1@500k") => PcanSource.Open(
        PcanAddress.Parse(address, rate => rate == "500k" ? 500_000 : 2_000_000, out _)!,
        library.Path,
        time);

    private static List<string> Read(PcanSource source)
    {
        var batch = new FrameBatch();
        _ = source.Read(batch, Cancellation);
        return [.. batch.Frames.ToArray().Select(ReadFrames.Line)];
    }

    [Fact]
    public void Listen_only_is_set_before_the_channel_goes_on_the_bus_and_nothing_is_ever_sent()
    {
        using (var source = Open())
        {
            library.Give(0x123, 0, 1, "01", 0);
            Read(source);
        }

        Assert.Equal(
            [
                "CAN_SetValue 0x51 0x08 1 of 4 bytes",
                "CAN_Initialize 0x51 0x001C 0 0 0",
                "CAN_SetValue 0x51 0x20 1 of 4 bytes",
                "CAN_Uninitialize 0x51",
            ],
            library.Calls);
    }

    [Fact]
    public void With_CAN_FD_too()
    {
        Open("usb9@500k/2M").Dispose();

        Assert.Equal(
            [
                "CAN_SetValue 0x509 0x08 1 of 4 bytes",
                "CAN_InitializeFD 0x509 f_clock=80000000,nom_brp=1,nom_tseg1=127,nom_tseg2=32,nom_sjw=32,data_brp=1,data_tseg1=31,data_tseg2=8,data_sjw=8",
                "CAN_SetValue 0x509 0x20 1 of 4 bytes",
                "CAN_Uninitialize 0x509",
            ],
            library.Calls);
    }

    [Fact]
    public void Frames_come_with_identifier_kind_payload_and_the_adapters_time()
    {
        using var source = Open();
        library.Give(0x7FF, 0, 8, "0102030405060708", 1_000_000);
        library.Give(0x18FEF100, 2, 3, "0A0B0C", 1_000_250);
        library.Give(0x100, 1, 4, "", 1_500_000);
        library.Give(0x101, 0x20, 0, "", 5_000_000_000_123);

        var ns = (Start - DateTimeOffset.UnixEpoch).Ticks * 100;
        Assert.Equal(
            [
                $"{ns} bus 0 0x7FF [8] None Received raw 0 0102030405060708",
                $"{ns + 250_000} bus 0 0x18FEF100 [3] None Received raw 0 0A0B0C",
                $"{ns + 500_000_000} bus 0 0x100 [4] Remote Received raw 0 ",
                $"{ns + 4_999_999_000_123_000} bus 0 0x101 [0] None Sent raw 0 ",
            ],
            Read(source));
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void CAN_FD_frames_too()
    {
        using var source = Open("usb1@500k/2M");
        library.Give(0x10, 0x04 | 0x08, 15, new string('5', 128), 10);
        library.Give(0x11, 0x04 | 0x10, 9, new string('6', 24), 20);
        library.Give(0x12, 0, 8, "0102030405060708", 30);

        var ns = (Start - DateTimeOffset.UnixEpoch).Ticks * 100;
        Assert.Equal(
            [
                $"{ns} bus 0 0x010 [64] BitRateSwitch, FlexibleDataRate Received raw 0 {new string('5', 128)}",
                $"{ns + 10_000} bus 0 0x011 [12] ErrorStateIndicator, FlexibleDataRate Received raw 0 {new string('6', 24)}",
                $"{ns + 20_000} bus 0 0x012 [8] None Received raw 0 0102030405060708",
            ],
            Read(source));
    }

    [Fact]
    public void An_error_frame_becomes_an_error_report_and_a_status_message_no_frame()
    {
        using var source = Open();
        library.Give(4, 0x40, 4, "010A6005", 0);
        library.Give(1, 0x80, 4, "00000008", 1);

        // Protocol violation and counters, a stuff error, 5 and 96 errors: include/uapi/linux/can/error.h.
        var line = Assert.Single(Read(source));
        Assert.EndsWith("0x208 [8] ErrorReport Received raw 0 0000040000000560", line, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_no_frame_can_be_is_counted()
    {
        using var source = Open();
        library.Give(1, 0, 9, "01", 0);
        library.Give(2, 0, 1, "01", 1);

        Assert.Single(Read(source));
        Assert.Equal(["adapter-record-unknown 1"], Captures.Problems(source));
    }

    [Fact]
    public void More_frames_than_fit_into_a_batch_come_with_the_next()
    {
        using var source = Open();
        for (var i = 0; i < 60; i++)
        {
            library.Give((uint)i, 0, 0, "", (ulong)i);
        }

        Assert.Equal(60, Read(source).Count);
    }

    [Fact]
    public async Task Waiting_ends_with_the_first_frame()
    {
        using var source = Open();
        var batch = new FrameBatch();
        var reading = Task.Run(
            () =>
            {
                var turns = 0;
                while (source.Read(batch, Cancellation) != SourceState.Frames && turns < 400)
                {
                    turns++;
                }

                return batch.Count;
            },
            Cancellation);

        library.Give(0x55, 0, 1, "01", 0);

        Assert.Equal(1, await reading);
    }

    [Fact]
    public void The_bus_is_described_by_the_adapter_and_its_rate()
    {
        using var source = Open("usb1@500k/2M");

        var bus = Assert.Single(source.Buses);
        Assert.Equal(("usb1", 500_000, 2_000_000, @"Stand-in \u001B[31madapter"), (bus.Name, bus.BitRate, bus.DataBitRate, bus.Description));
        Assert.Equal((ControllerState.ErrorActive, true, 500_000L, SourceClock.Theirs), (source.StatusOf(0)!.State, source.StatusOf(0)!.IsListenOnly, source.StatusOf(0)!.BitRate, source.Clock));
    }

    [Theory]
    [InlineData(0x4u, ControllerState.ErrorWarning)]
    [InlineData(0x8u, ControllerState.ErrorWarning)]
    [InlineData(0x40000u, ControllerState.ErrorPassive)]
    [InlineData(0x10u, ControllerState.BusOff)]
    public void What_the_controller_says_is_asked_for_ten_times_a_second(uint status, ControllerState expected)
    {
        using var source = Open();
        library.Be("bus", status);
        Read(source);
        Assert.Equal(ControllerState.ErrorActive, source.StatusOf(0)!.State);

        time.Advance(TimeSpan.FromMilliseconds(100));
        Read(source);

        Assert.Equal(expected, source.StatusOf(0)!.State);
        Assert.Equal(new FrameTime((Start.AddMilliseconds(100) - DateTimeOffset.UnixEpoch).Ticks * 100), source.StatusOf(0)!.Since);
        Assert.Equal(expected == ControllerState.BusOff ? 1 : 0, source.StatusOf(0)!.TimesBusOff);
    }

    [Theory]
    [InlineData(0x40u)]
    [InlineData(0x2u)]
    public void Frames_that_were_read_too_late_are_told(uint status)
    {
        using var source = Open();
        library.Be("read", status);
        library.Give(1, 0, 0, "", 0);

        var read = Read(source);
        read.AddRange(Read(source));

        Assert.Single(read);
        Assert.Equal(["adapter-overrun 1"], Captures.Problems(source));
        Assert.Equal(1, source.StatusOf(0)!.LostFrames);
    }

    [Fact]
    public void An_adapter_that_is_pulled_out_is_waited_for_and_opened_again_listening_only()
    {
        using var source = Open();
        library.Give(1, 0, 0, "", 1000);
        Assert.Single(Read(source));

        library.Be("read", 0x1400);
        library.Be("condition", 0);
        Assert.Empty(Read(source));
        Assert.Equal(ControllerState.Gone, source.StatusOf(0)!.State);
        time.Advance(TimeSpan.FromSeconds(3));
        Assert.Empty(Read(source));
        Assert.Equal(ControllerState.Gone, source.StatusOf(0)!.State);

        // Back in, with a clock that begins anew.
        library.Be("read", 0);
        library.Be("condition", 1);
        time.Advance(TimeSpan.FromSeconds(1));
        Assert.Empty(Read(source));
        library.Give(2, 0, 0, "", 5);
        var line = Assert.Single(Read(source));

        Assert.StartsWith($"{(Start.AddSeconds(4) - DateTimeOffset.UnixEpoch).Ticks * 100} bus 0 0x002", line, StringComparison.Ordinal);
        Assert.Equal(ControllerState.ErrorActive, source.StatusOf(0)!.State);
        Assert.Equal(["adapter-gone 1"], Captures.Problems(source));
        Assert.Equal(2, library.Calls.Count(call => call == "CAN_Initialize 0x51 0x001C 0 0 0"));
        Assert.DoesNotContain(library.Calls, call => call.Contains("NOT", StringComparison.Ordinal) || call.StartsWith("CAN_Write", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("initialize", 0x200u, "the adapter's driver is not loaded; install or start it")]
    [InlineData("initialize", 0x400u, "another program has the channel; close that program")]
    [InlineData("initialize", 0x800u, "another program has the channel; close that program")]
    [InlineData("initialize", 0x1400u, "no adapter is plugged in under this name")]
    [InlineData("initialize", 0x100u, "no adapter is plugged in under this name")]
    [InlineData("initialize", 0x2000000u, "another program has put the channel on the bus at another bit rate; close that program")]
    [InlineData("initialize", 0x8000u, "the adapter cannot run so: the library's words for 0x8000; CAN FD needs an adapter for CAN FD")]
    [InlineData("initialize", 0x10000u, "cannot be opened: the library's words for 0x10000")]
    [InlineData("listen", 0x4000u, "the adapter cannot be told to listen only, so it is not opened: the library's words for 0x4000")]
    [InlineData("forget", 1u, "the adapter does not listen only although it was told to, so it is not used: it would acknowledge frames")]
    [InlineData("event", 0x4000u, "its library does not say when frames come: the library's words for 0x4000")]
    public void Each_error_has_one_clear_message_and_leaves_the_channel_off_the_bus(string what, uint status, string message)
    {
        library.Be(what, status);

        var failure = Assert.Throws<SourceException>(() => Open());

        Assert.Equal($"pcan:usb1: {message}", failure.Message);
        Assert.Equal(what is "forget" or "event" || status == 0x2000000, library.Calls[^1] == "CAN_Uninitialize 0x51");
    }

    [Theory]
    [InlineData(1u, true, false)]
    [InlineData(2u, false, true)]
    [InlineData(3u, true, true)]
    public void What_is_plugged_in_is_listed_and_nothing_is_opened(uint condition, bool isFree, bool isTaken)
    {
        library.Be("condition", condition);

        var channels = PcanChannels.List(library.Path);

        // The stand-in says the same of every channel: 16 each of USB, PCI and LAN, and two PC cards.
        Assert.Equal(50, channels.Count);
        Assert.Equal(new PcanChannel("usb1", isFree, isTaken, @"Stand-in \u001B[31madapter"), channels[0]);
        Assert.Empty(library.Calls);
    }

    [Fact]
    public void Where_nothing_is_plugged_in_nothing_is_listed()
    {
        library.Be("condition", 0);

        Assert.Empty(PcanChannels.List(library.Path));
    }

    [Fact]
    public void A_library_that_is_not_there_is_told()
    {
        var address = PcanAddress.Parse("usb1@500k", _ => 500_000, out _)!;

        var failure = Assert.Throws<SourceException>(() => PcanSource.Open(address, "libnowhere.so", time));

        Assert.Equal("pcan:usb1: the maker's library libnowhere.so is not installed here for Linux X64 programs; it comes with the adapter's driver package (PCAN-Basic)", failure.Message);
    }

    [Fact]
    public void A_library_for_another_machine_is_told()
    {
        // An ELF file with the machine number of a processor that no PC has (EM_SPARC, 2: System V ABI, ELF header).
        var bytes = File.ReadAllBytes(library.Path);
        bytes[18] = 2;
        using var folder = new Captures.TemporaryFolder();
        var address = PcanAddress.Parse("usb1@500k", _ => 500_000, out _)!;

        var failure = Assert.Throws<SourceException>(() => PcanSource.Open(address, folder.File("other.so", bytes), time));

        Assert.Contains("cannot be loaded: it is not made for Linux X64 programs, or lacks others that it needs", failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_library_that_lacks_a_function_is_told()
    {
        var old = StandIn.Compile("old", "int CAN_Initialize(void) { return 0; }")!;
        var address = PcanAddress.Parse("usb1@500k", _ => 500_000, out _)!;

        var failure = Assert.Throws<SourceException>(() => PcanSource.Open(address, old, time));

        Assert.Equal($"pcan:usb1: the library {old} is too old, or is another one: it lacks a function of PCAN-Basic; install the maker's current one", failure.Message);
    }

    [Fact]
    public void Reading_allocates_nothing_per_frame()
    {
        using var source = Open();
        var batch = new FrameBatch();
        void Once()
        {
            for (var i = 0; i < 50; i++)
            {
                library.Give((uint)i, 0, 0, "", (ulong)i);
            }
        }

        Assert.Equal(0, Allocation.Of(() => _ = source.Read(batch, Cancellation), Once));
        Assert.Equal(50, batch.Count);
    }

    [Fact]
    public void The_calls_that_send_are_not_even_declared() =>
        Assert.DoesNotContain(
            Directory.GetFiles(RepoFiles.Path("src"), "*.cs", SearchOption.AllDirectories),
            file => File.ReadAllText(file).Contains("CAN_Write", StringComparison.Ordinal));
}
