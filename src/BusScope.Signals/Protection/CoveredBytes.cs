using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Protection;

/// <summary>The bytes that a sum or a plain CRC runs over, in order: payload bytes, the field's own bits as zero, with a data id before or after them.</summary>
internal sealed class CoveredBytes
{
    private readonly int[] positions;
    private readonly byte[] masks;
    private readonly byte[][] ids;
    private readonly BitWindow? counter;

    /// <summary>Compiles the ranges and the data ids.</summary>
    public CoveredBytes(ChecksumDefinition definition, CounterDefinition? counter, byte[] outsideField)
    {
        var covered = new List<int>();
        foreach (var (from, to) in definition.Over)
        {
            for (var at = from; at <= to; at++)
            {
                covered.Add(at);
            }
        }

        positions = [.. covered];
        masks = [.. covered.Select(at => at < outsideField.Length ? outsideField[at] : (byte)0xFF)];
        ids = [.. definition.DataIds.Select(id => LowByteFirst(id, definition.DataIdBytes))];
        IdFirst = definition.DataIdFirst;
        if (ids.Length > 1 && counter is not null)
        {
            this.counter = new BitWindow(counter.Field);
        }

        LastByte = Math.Max(covered.Count == 0 ? 0 : covered.Max(), this.counter?.LastByte ?? 0);
    }

    /// <summary>The last payload byte that is needed.</summary>
    public int LastByte { get; }

    /// <summary>How many payload bytes there are.</summary>
    public int Count => positions.Length;

    /// <summary>Whether the data id comes before the payload bytes, not after them.</summary>
    public bool IdFirst { get; }

    /// <summary>One of the payload bytes, in order.</summary>
    public byte At(ReadOnlySpan<byte> payload, int index) => (byte)(payload[positions[index]] & masks[index]);

    /// <summary>The data id that goes with a payload, low byte first; empty where there is none.</summary>
    public ReadOnlySpan<byte> IdFor(ReadOnlySpan<byte> payload) =>
        ids.Length == 0 ? [] : ids[counter is { } chooses ? (int)(chooses.Read(payload) % (uint)ids.Length) : 0];

    private static byte[] LowByteFirst(ulong id, int count)
    {
        var bytes = new byte[count];
        for (var i = 0; i < count; i++)
        {
            bytes[i] = (byte)(id >> (8 * i));
        }

        return bytes;
    }
}
