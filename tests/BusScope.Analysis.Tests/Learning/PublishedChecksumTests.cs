using System.Globalization;
using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Analysis.Learning.Writing;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Protection;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>
/// Published forms, found untold: traffic is made by a shift register that first gives the published check values (the catalogue of parametrised CRC
/// algorithms; the examples of AUTOSAR PRS_E2EProtocol, document 849, as quoted in public test suites), and what was learned from it must agree with
/// the published frames.
/// </summary>
public class PublishedChecksumTests
{
    private const int Frames = 1500;

    // As profile 2, and beside the counter of four bits a wider one that counts as well.
    [Fact]
    public void The_counter_that_chooses_the_data_ids_is_the_messages_counter()
    {
        var random = new Random(9);
        var baseline = LearnedCar.Of(new SentMessage(0x100, LearnedCar.Every(10, 0, 5_000), time =>
        {
            var number = (int)Math.Round(time / 10);
            byte[] payload = [0, (byte)((random.Next(16) << 4) | (number & 15)), (byte)number, (byte)random.Next(256), (byte)random.Next(256), (byte)random.Next(256)];
            payload[0] = (byte)ShiftRegister.Run([.. payload[1..], (byte)(0x31 + (7 * (number & 15)))], 8, 0x2F, false, 0xFF, 0xFF);
            return payload;
        }));

        var message = baseline.Messages[0];
        Assert.Equal(16, message.Checksum!.Definition!.DataIds.Count);
        Assert.Equal((1, 4), (message.Counter!.Definition.Field.FirstByte, message.Counter.Definition.Field.Length));
        Assert.Equal(2, Assert.Single(message.FurtherCounters).Definition.Field.FirstByte);
    }

    // Profile 2, data ids 01 to 10h, length 8, data 0: the checksums for counters 1 to 15, then 0.
    private static readonly byte[] profile2 = Some.Bytes("1B 98 31 0D 18 9B 65 08 1D 9E 37 0B 1E 9D CD 0E");

    public static TheoryData<string, string> Catalogue => new(
        ChecksumCatalogue.All.Where(algorithm => algorithm.Crc?.Width is 8 or 16).Select(algorithm => (algorithm.Name, CheckValue(algorithm.Name))));

    [Theory]
    [MemberData(nameof(Catalogue))]
    public void A_check_of_the_catalogue_is_found_by_its_name(string name, string check)
    {
        var crc = ChecksumCatalogue.Find(name)!.Crc!;
        var bytes = crc.Width / 8;
        int Sum(IEnumerable<byte> data) => ShiftRegister.Run(data, crc.Width, (int)crc.Polynomial, crc.Reflected, (int)crc.Start, (int)crc.Final);
        Assert.Equal(check, Sum("123456789"u8.ToArray()).ToString($"X{2 * bytes}", CultureInfo.InvariantCulture));
        var random = new Random(1);
        var samples = LearnedPayloads.Make(8, Frames, _ =>
        {
            var payload = LearnedPayloads.Noise(random, 8);
            var sum = Sum(payload[bytes..]);
            (payload[0], payload[1]) = bytes == 1 ? ((byte)sum, payload[1]) : ((byte)(sum >> 8), (byte)sum);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, null);

        Assert.Equal(name, found?.Definition is { } definition ? ChecksumNames.Find(definition) : null);
    }

    [Fact]
    public void Profile_1_with_both_bytes_of_its_data_id_is_found()
    {
        var found = Learn(15, (payload, _) => payload[0] = Profile1([0x23, 0x01], payload));

        AssertHolds(found, "CC 00 00 00 00 00 00 00", "91 01 00 00 00 00 00 00");
    }

    [Fact]
    public void Profile_1_with_its_data_id_in_alternation_is_found_and_named()
    {
        var found = Learn(15, (payload, counter) => payload[0] = Profile1([counter % 2 == 0 ? (byte)0x23 : (byte)0x01], payload));

        AssertHolds(found, "CE 00 00 00 00 00 00 00");
        Assert.Contains("algorithm: e2e-p1, data-id: 0x0123, data-id-mode: alternating", FieldText.Of(found.Checksum, 8), StringComparison.Ordinal);
    }

    [Fact]
    public void Profile_1_with_a_nibble_of_its_data_id_in_the_payload_is_found()
    {
        var found = Learn(15, (payload, _) =>
        {
            payload[1] |= 0x10;
            payload[0] = Profile1([0x23, 0x00], payload);
        });

        AssertHolds(found, "2A 10 00 00 00 00 00 00", "77 11 00 00 00 00 00 00");
    }

    [Fact]
    public void Profile_1_with_the_low_byte_of_its_data_id_is_found()
    {
        var found = Learn(15, (payload, _) => payload[0] = Profile1([0x23], payload));

        AssertHolds(found, "CE 00 00 00 00 00 00 00", "93 01 00 00 00 00 00 00");
    }

    // The same examples, eight bytes further on: what stands before the checksum is covered as well.
    [Fact]
    public void Profile_11_is_found_behind_eight_other_bytes()
    {
        var found = Learn(15, (payload, _) =>
        {
            payload[9] |= 0x10;
            payload[8] = (byte)ShiftRegister.Run([0x23, 0x00, .. payload[..8], .. payload[9..]], 8, 0x1D, false, 0, 0);
        }, counterAt: 9, length: 16);

        AssertHolds(found, "00 00 00 00 00 00 00 00 7D 10 00 00 00 00 00 00");
    }

    [Fact]
    public void Profile_22_is_found_behind_eight_other_bytes()
    {
        var found = Learn(16, (payload, counter) => payload[8] = (byte)ShiftRegister.Run([.. payload[..8], .. payload[9..], (byte)(counter + 1)], 8, 0x2F, false, 0xFF, 0xFF), counterAt: 9, length: 16);

        Assert.Equal(Enumerable.Range(1, 16).Select(id => (ulong)id), found.Checksum.DataIds);
        AssertHolds(found, "00 00 00 00 00 00 00 00 14 01 00 00 00 00 00 00");
    }

    [Fact]
    public void Profile_5_is_found_behind_eight_other_bytes()
    {
        var found = Learn(256, (payload, _) =>
        {
            var sum = ShiftRegister.Run([.. payload[..8], .. payload[10..], 0x34, 0x12], 16, 0x1021, false, 0xFFFF, 0);
            (payload[8], payload[9]) = ((byte)sum, (byte)(sum >> 8));
        }, counterAt: 10, length: 16);

        AssertHolds(found, "00 00 00 00 00 00 00 00 28 91 00 00 00 00 00 00", "00 00 00 00 00 00 00 00 FB D6 01 00 00 00 00 00");
    }

    [Fact]
    public void Profile_2_is_found_with_its_sixteen_data_ids()
    {
        byte[] ids = [.. Enumerable.Range(1, 16).Select(id => (byte)id)];
        var found = Learn(16, (payload, counter) => payload[0] = (byte)ShiftRegister.Run([.. payload[1..], ids[counter]], 8, 0x2F, false, 0xFF, 0xFF));

        Assert.Equal(ids.Select(id => (ulong)id), found.Checksum.DataIds);
        Assert.Contains("algorithm: e2e-p2, data-ids: [0x01, 0x02,", FieldText.Of(found.Checksum, 8), StringComparison.Ordinal);
        AssertHolds(found, [.. profile2.Select((sum, i) => $"{sum:X2} {(i + 1) % 16:X2} 00 00 00 00 00 00")]);
    }

    [Fact]
    public void Profile_5_is_found_with_its_data_id()
    {
        var found = Learn(256, (payload, _) =>
        {
            var sum = ShiftRegister.Run([.. payload[2..], 0x34, 0x12], 16, 0x1021, false, 0xFFFF, 0);
            (payload[0], payload[1]) = ((byte)sum, (byte)(sum >> 8));
        }, counterAt: 2);

        Assert.Contains("algorithm: e2e-p5, data-id: 0x1234", FieldText.Of(found.Checksum, 8), StringComparison.Ordinal);
        AssertHolds(found, "1C CA 00 00 00 00 00 00", "CF 8D 01 00 00 00 00 00");
    }

    [Fact]
    public void Profile_6_is_found()
    {
        // Its data id is taken in high byte first; the value is from memory and computed equal.
        var found = Learn(256, (payload, _) =>
        {
            (payload[2], payload[3]) = (0, 8);
            var sum = ShiftRegister.Run([.. payload[2..], 0x12, 0x34], 16, 0x1021, false, 0xFFFF, 0);
            (payload[0], payload[1]) = ((byte)(sum >> 8), (byte)sum);
        }, counterAt: 4);

        AssertHolds(found, "B1 55 00 08 00 00 00 00");
    }

    private static byte Profile1(byte[] id, byte[] payload) => (byte)ShiftRegister.Run([.. id, .. payload[1..]], 8, 0x1D, false, 0, 0);

    private static (CounterDefinition Counter, ChecksumDefinition Checksum) Learn(int modulo, Action<byte[], int> protect, int counterAt = 1, int length = 8)
    {
        var random = new Random(3);
        var samples = LearnedPayloads.Make(length, Frames, i =>
        {
            // The last three bytes live, the rest is as in the published examples.
            byte[] payload = [.. new byte[length - 3], .. LearnedPayloads.Noise(random, 3)];
            payload[counterAt] = (byte)(i % modulo);
            protect(payload, i % modulo);
            return payload;
        });
        var counters = CounterFinder.Find(samples);
        var counter = counters.First(found => found.Definition.Field.FirstByte == counterAt);
        Assert.Equal(modulo, counter.Definition.Modulo);

        var found = ChecksumFinder.Find(samples, counter.Definition);

        Assert.NotNull(found?.Definition);
        Assert.Equal(Frames, found.Matches);
        return (counter.Definition, found.Definition);
    }

    // As a definition file has it: written, loaded, compiled.
    private static void AssertHolds((CounterDefinition Counter, ChecksumDefinition Checksum) found, params string[] frames)
    {
        var length = Some.Bytes(frames[0]).Length;
        var loaded = DefinitionLoader.LoadText(
            $"busscope: 1\nmessages:\n  M:\n    id: 1\n    length: {length}\n    counter: {{ {FieldText.Of(found.Counter)} }}\n    checksum: {{ {FieldText.Of(found.Checksum, length)} }}\n",
            "learned.yaml");
        Assert.Empty(loaded.Diagnostics);
        var plan = ChecksumPlan.Compile(loaded.Definitions!.Messages[0])!;
        Assert.All(frames, frame => Assert.True(plan.Holds(Some.Bytes(frame)), $"{frame} by {FieldText.Of(found.Checksum, length)}"));
    }

    // Check values on "123456789", from memory of the catalogue but for those that shared test vectors repeat.
    private static string CheckValue(string name) => name switch
    {
        "crc8-sae-j1850" => "4B",
        "crc8-autosar" => "DF",
        "crc8-opensafety" => "3E",
        "crc8-gsm-a" => "37",
        "crc8-tech-3250" => "97",
        "crc8-smbus" => "F4",
        "crc8-i-432-1" => "A1",
        "crc8-rohc" => "D0",
        "crc8-nrsc-5" => "F7",
        "crc16-ibm-3740" => "29B1",
        "crc16-xmodem" => "31C3",
        "crc16-genibus" => "D64E",
        "crc16-kermit" => "2189",
        "crc16-ibm-sdlc" => "906E",
        "crc16-arc" => "BB3D",
        "crc16-modbus" => "4B37",
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "no check value"),
    };
}
