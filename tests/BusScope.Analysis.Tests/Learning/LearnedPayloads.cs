using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;
using BusScope.TestKit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>Payload samples for the finders, made or read from published captures.</summary>
internal static class LearnedPayloads
{
    /// <summary>Samples made by a function of the frame's number.</summary>
    public static PayloadSamples Make(int length, int count, Func<int, byte[]> payload)
    {
        var samples = new PayloadSamples(length);
        for (var i = 0; i < count; i++)
        {
            samples.Add(payload(i));
        }

        return samples;
    }

    /// <summary>Random bytes.</summary>
    public static byte[] Noise(Random random, int length)
    {
        var payload = new byte[length];
        random.NextBytes(payload);
        return payload;
    }

    /// <summary>All payloads of one identifier on one bus of a published capture (github.com/projectgus/hyundai-kona-ev-can-logs, CC0).</summary>
    public static PayloadSamples Published(string file, uint id, int bus = 0)
    {
        PayloadSamples? samples = null;
        foreach (var line in File.ReadLines(RepoFiles.Shared("captures", file)).Skip(1))
        {
            var cells = line.Split(',');
            if (Convert.ToUInt32(cells[1], 16) != id || cells[3] != $"{bus}")
            {
                continue;
            }

            var payload = cells.Skip(5).Take(int.Parse(cells[4])).Select(c => Convert.ToByte(c, 16)).ToArray();
            samples ??= new PayloadSamples(payload.Length);
            samples.Add(payload);
        }

        return samples!;
    }

    /// <summary>The bits of a field.</summary>
    public static HashSet<BitPosition> Bits(BitField field) => [.. Enumerable.Range(0, field.Length).Select(field.At)];

    /// <summary>The payload with a value in a field, bit by bit, independent of the code under test.</summary>
    public static byte[] Write(byte[] payload, BitField field, int value)
    {
        for (var i = 0; i < field.Length; i++)
        {
            var along = field.Order == ByteOrder.Big ? field.Length - 1 - i : i;
            var position = field.At(i);
            payload[position.Byte] = (byte)((payload[position.Byte] & ~(1 << position.Bit)) | (((value >> along) & 1) << position.Bit));
        }

        return payload;
    }
}
