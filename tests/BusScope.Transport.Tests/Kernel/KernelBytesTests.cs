using System.Buffers.Binary;
using System.Text;
using BusScope.Frames;
using BusScope.Transport.Kernel;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests.Kernel;

/// <summary>
/// What the kernel gives and takes, byte by byte. Layouts and numbers: include/uapi/linux/can.h, if_link.h, can/netlink.h and
/// socket(7); that they are those of a running kernel is tried in tests/kernel.
/// </summary>
public sealed class KernelBytesTests
{
    private static readonly FrameTime Now = new(1_000_000_000_000_000_000);

    [Theory]
    [InlineData("23010000 08 00 00 00 0102030405060708", 0x123u, false, FrameKinds.None, 8, 0)]
    [InlineData("00F1FE98 03 00 00 00 0102030000000000", 0x18FEF100u, true, FrameKinds.None, 3, 0)]
    [InlineData("21030040 04 00 00 00 0000000000000000", 0x321u, false, FrameKinds.Remote, 4, 0)]
    [InlineData("55050000 08 00 00 0D 0102030405060708", 0x555u, false, FrameKinds.None, 8, 13)]
    [InlineData("04020020 08 00 00 00 0008000000006000", 0x204u, false, FrameKinds.ErrorReport, 8, 0)]
    public void A_record_of_sixteen_bytes_is_a_classical_frame(string hex, uint id, bool isExtended, FrameKinds kinds, int length, int rawCode)
    {
        var frame = default(Frame);

        Assert.True(KernelRecord.TryRead(Bytes(hex), 0, Now, 3, ref frame));

        Assert.Equal((id, isExtended, kinds, length, rawCode, 3), (frame.Id.Value, frame.Id.IsExtended, frame.Kinds, (int)frame.Length, (int)frame.RawLengthCode, (int)frame.Bus));
    }

    [Fact]
    public void A_record_of_seventy_two_bytes_is_a_frame_of_can_fd_with_its_flags()
    {
        var record = new byte[72];
        BinaryPrimitives.WriteUInt32LittleEndian(record, 0x456);
        (record[4], record[5], record[8 + 47]) = (48, 0x07, 0x5A);
        var frame = default(Frame);

        Assert.True(KernelRecord.TryRead(record, 0, Now, 0, ref frame));

        Assert.Equal(FrameKinds.FlexibleDataRate | FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator, frame.Kinds);
        Assert.Equal((48, 0x5A), (frame.Length, frame.Data[47]));
    }

    [Theory]
    [InlineData(15, 0)]
    [InlineData(16, 9)]
    [InlineData(72, 65)]
    [InlineData(0, 0)]
    public void A_record_that_can_be_no_frame_is_refused(int size, byte length)
    {
        var record = new byte[size];
        if (size > 4)
        {
            record[4] = length;
        }

        var frame = default(Frame);
        Assert.False(KernelRecord.TryRead(record, 0, Now, 0, ref frame));
    }

    [Fact]
    public void Stamps_are_found_behind_other_control_messages()
    {
        byte[] other = [20, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 40, 0, 0, 0, 7, 0, 0, 0, 0, 0, 0, 0];

        var stamps = KernelStamps.Read([.. other, .. Control.Stamps(1_700_000_000_123_456_789, 42_000_000_007)]);

        Assert.Equal(new KernelStamps(new FrameTime(1_700_000_000_123_456_789), new FrameTime(42_000_000_007)), stamps);
        Assert.Equal(KernelStamps.None, KernelStamps.Read(other));
        Assert.False(KernelStamps.Read(Control.Stamps(5, 0)).Hardware.IsKnown);
    }

    [Fact]
    public void Control_messages_and_answers_of_any_bytes_do_no_harm() => Gen.Byte.Array[0, 300].Sample(bytes =>
    {
        _ = KernelStamps.Read(bytes);
        _ = LinkMessages.Read(bytes, new List<KernelInterface>());
    });

    [Fact]
    public void An_adapters_own_clock_is_brought_to_the_systems_without_the_systems_jitter()
    {
        // The model: an adapter that began at zero 1.7e9 s ago by our clock, 40 ppm fast, whose frames are handed over up to 5 ms late,
        // but one in fifty within 10 µs.
        Gen.Int[0, 5_000_000].Array[2_000].Sample(delays =>
        {
            var stamps = new HardwareStamps();
            var worst = 0L;
            for (var i = 0; i < delays.Length; i++)
            {
                var truth = 1_700_000_000_000_000_000 + (i * 1_000_000L);
                var hardware = new FrameTime((long)(i * 1_000_000L * 1.000_040) + 77);
                var software = new FrameTime(truth + (i % 50 == 0 ? delays[i] % 10_000 : delays[i]));

                var mapped = stamps.Map(software, hardware);

                Assert.True(mapped <= software);
                worst = i < 50 ? 0 : Math.Max(worst, Math.Abs(mapped.Nanoseconds - truth));
            }

            // Two seconds at 40 ppm are 80 µs.
            Assert.InRange(worst, 0, 100_000);
        }, iter: 30);
    }

    [Fact]
    public void A_frame_that_comes_faster_than_those_before_does_not_come_before_them()
    {
        var stamps = new HardwareStamps();

        // The first one is handed over 5 ms late, the next one, 0.2 ms younger, only 1 ms late.
        var first = stamps.Map(new FrameTime(1_000_000_000 + 5_000_000), new FrameTime(77));
        var second = stamps.Map(new FrameTime(1_000_000_000 + 5_100_000), new FrameTime(4_100_077));
        var third = stamps.Map(new FrameTime(1_000_000_000 + 1_200_000), new FrameTime(200_077));

        Assert.True(second >= first);
        Assert.True(third.Nanoseconds <= 1_001_200_000);
    }

    [Fact]
    public void Without_a_stamp_of_the_adapter_the_kernels_counts()
    {
        Assert.Equal(Now, new HardwareStamps().Map(Now, FrameTime.Never));
    }

    [Fact]
    public void An_answer_about_a_controller_is_read()
    {
        // struct nlmsghdr, struct ifinfomsg (type 280, index 5, IFF_UP), then attributes.
        byte[] controller =
        [
            .. Attribute(1, [.. Number(500_000), .. Number(875), .. new byte[24]]), // bit timing: rate, sample point
            .. Attribute(4, Number(1)), // state: error warning
            .. Attribute(5, [.. Number(0), .. Number(0x22)]), // mode: listen only, CAN FD
            .. Attribute(6, Number(100)), // restart
            .. Attribute(8, [97, 0, 3, 0]), // counters
            .. Attribute(9, [.. Number(2_000_000), .. new byte[28]]), // data bit timing
        ];
        byte[] statistics = [.. new byte[12], .. Number(4), .. Number(0), .. Number(0)];
        byte[] counts = [.. BitConverter.GetBytes(12L), .. new byte[40], .. BitConverter.GetBytes(1L), .. new byte[32], .. BitConverter.GetBytes(2L)];
        byte[] body =
        [
            0, 0, 0x18, 0x01, .. Number(5), .. Number(1), .. Number(0),
            .. Attribute(3, [.. "can0"u8, 0]),
            .. Attribute(4, Number(72)),
            .. Attribute(23, counts),
            .. Attribute(18, [.. Attribute(1, [.. "can"u8, 0]), .. Attribute(2, controller), .. Attribute(3, statistics)]),
        ];
        var found = new List<KernelInterface>();

        var (isDone, error) = LinkMessages.Read([.. Message(16, body), .. Message(3, [])], found);

        Assert.True(isDone);
        Assert.Equal(0, error);
        var link = Assert.Single(found);
        Assert.Equal(
            new KernelInterface(5, "can0")
            {
                IsCan = true,
                IsUp = true,
                Kind = "can",
                BitRate = 500_000,
                DataBitRate = 2_000_000,
                State = ControllerState.ErrorWarning,
                IsListenOnly = true,
                TransmitErrors = 97,
                ReceiveErrors = 3,
                TimesBusOff = 4,
                Overruns = 3,
            },
            link);
    }

    [Fact]
    public void A_refusal_is_read_with_its_reason()
    {
        var (isDone, error) = LinkMessages.Read(Message(2, BitConverter.GetBytes(-1)), new List<KernelInterface>());

        Assert.Equal((true, Errno.NotPermitted), (isDone, error));
    }

    [Fact]
    public void The_request_that_sets_up_says_bit_rate_and_listen_only_and_nothing_else()
    {
        byte[] timing = [.. Number(250_000), .. new byte[28]];
        byte[] data = [.. Attribute(1, timing), .. Attribute(5, [.. Number(0x22), .. Number(0x02)])];
        byte[] body =
        [
            0, 0, 0, 0, .. Number(7), .. Number(0), .. Number(0),
            .. Attribute(18, [.. Attribute(1, Encoding.ASCII.GetBytes("can")), .. Attribute(2, data)]),
        ];

        var request = LinkRequest.SetUp(7, 250_000, null);

        Assert.Equal(body, request[16..]);
        Assert.Equal((request.Length, 16, 5), (BitConverter.ToInt32(request), BitConverter.ToUInt16(request, 4), BitConverter.ToUInt16(request, 6)));
    }

    private static byte[] Bytes(string hex) => Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal));

    private static byte[] Number(uint number) => BitConverter.GetBytes(number);

    private static byte[] Attribute(ushort type, byte[] value) =>
        [.. BitConverter.GetBytes((ushort)(value.Length + 4)), .. BitConverter.GetBytes(type), .. value, .. new byte[(4 - (value.Length % 4)) % 4]];

    private static byte[] Message(ushort type, byte[] body) =>
        [.. BitConverter.GetBytes(16 + body.Length), .. BitConverter.GetBytes(type), 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, .. body];
}
