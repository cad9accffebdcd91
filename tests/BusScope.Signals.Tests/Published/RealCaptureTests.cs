using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Signals.Tests.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Published;

/// <summary>
/// Protection on real recordings: projectgus/hyundai-kona-ev-can-logs (CC0-1.0), with what an independent analysis found in
/// them (SOURCES.md beside them).
/// </summary>
public class RealCaptureTests
{
    private const string Vehicle = "vehicle-two-buses-off-on-ready-off.csv";

    /// <summary>CRC-8/SAE-J1850 over bytes 0 to 6 in byte 7, counter in byte 6 bits 0 to 3.</summary>
    internal static MessageDefinition J1850 => Define.Message() with
    {
        Counter = new CounterDefinition(Define.Little(6, 0, 4)),
        Checksum = new ChecksumDefinition(ChecksumFamily.Crc, Define.Byte(7)) { Crc = new CrcParameters(8, 0x1D, 0xFF, 0xFF, false), Over = [new ByteRange(0, 6)] },
    };

    // The notes beside the recordings count 1956 and 1955 frames; the recordings that stand there hold 698 and 697.
    [Theory]
    [InlineData(0x130, 698)]
    [InlineData(0x140, 697)]
    public void The_identifiers_with_a_crc_hold_it_in_every_frame(uint id, long frames)
    {
        var tally = new MessageTally(0);

        Scan(new MessagePlan(J1850), tally, Rows(Vehicle, id, bus: 1));

        Assert.Equal((frames, 0, 0, 0), (tally.Rows, tally.ChecksumBad.Count, tally.CounterRepeated.Count, tally.CounterSkipped.Count));
    }

    [Fact]
    public void The_other_forms_of_the_vehicle_hold()
    {
        var sum153 = Sum(ChecksumFamily.Sum, Define.Byte(7), new ByteRange(0, 6));
        var sum251 = Sum(ChecksumFamily.Sum, Define.Byte(3), new ByteRange(0, 2), new ByteRange(4, 7));
        var sum340 = Sum(ChecksumFamily.Sum, Define.Byte(6), new ByteRange(0, 5), new ByteRange(7, 7));
        var xor2B0 = Sum(ChecksumFamily.NibbleXor, Define.Little(4, 4, 4), new ByteRange(0, 4));

        Assert.All([(0x153u, sum153), (0x251u, sum251), (0x340u, sum340), (0x2B0u, xor2B0)], form =>
        {
            var rows = Rows(Vehicle, form.Item1, bus: 1).ToList();
            var plan = new MessagePlan(Define.Message() with { Checksum = form.Item2 });

            Assert.NotEmpty(rows);
            Assert.Equal(rows.Count, rows.Count(row => plan.ChecksumHolds(row.Data) == true));
        });
    }

    private static ChecksumDefinition Sum(ChecksumFamily family, BitField field, params IReadOnlyList<ByteRange> over) => new(family, field) { Over = over };

    private static void Scan(MessagePlan plan, MessageTally tally, IEnumerable<Frame> frames)
    {
        var block = new MessageBlock(8);
        foreach (var frame in frames)
        {
            block.Add(frame);
            if (block.IsFull)
            {
                plan.Scan(block, tally);
                block.Clear();
            }
        }

        plan.Scan(block, tally);
    }

    // Time Stamp, ID, Extended, [Dir,] Bus, LEN, D1 ... D8, in the order of the recording.
    private static IEnumerable<Frame> Rows(string file, uint id, int bus)
    {
        var lines = File.ReadLines(RepoFiles.Shared("captures", file)).ToList();
        var names = lines[0].Split(',');
        var (busAt, lengthAt) = (Array.IndexOf(names, "Bus"), Array.IndexOf(names, "LEN"));
        foreach (var cells in lines.Skip(1).Select(line => line.Split(',')))
        {
            if (Convert.ToUInt32(cells[1], 16) == id && int.Parse(cells[busAt]) == bus)
            {
                var frame = default(Frame);
                var data = cells[(lengthAt + 1)..(lengthAt + 1 + int.Parse(cells[lengthAt]))].Select(cell => Convert.ToByte(cell, 16)).ToArray();
                frame.Set(new FrameTime(long.Parse(cells[0]) * FrameSpan.NanosecondsPerMicrosecond), 0, new CanId(id, false), FrameKinds.None, data);
                yield return frame;
            }
        }
    }
}
