using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Protection;

/// <summary>
/// Checks blocks of frames of one to eight bytes by one table for each payload byte. A CRC or an exclusive or, and with it the
/// difference between the field and what it must hold, is linear over single bits but for a constant: that difference is the
/// exclusive or of what each byte adds to it by itself, whatever stands in the others.
/// </summary>
internal sealed class ChecksumResidue
{
    private const int Positions = Payload.ClassicCapacity;
    private const int Values = 256;

    // For each position 256 entries; the constant is in the first position's.
    private readonly Tables tables;

    private ChecksumResidue(ChecksumPlan plan, BitWindow field, int length)
    {
        Span<byte> payload = stackalloc byte[Positions];
        var constant = Residue(payload[..length]);
        for (var position = 0; position < length; position++)
        {
            for (var value = 0; value < Values; value++)
            {
                payload.Clear();
                payload[position] = (byte)value;
                var alone = Residue(payload[..length]);
                tables[(position * Values) + value] = (byte)(position == 0 ? alone : alone ^ constant);
            }
        }

        byte Residue(ReadOnlySpan<byte> of) => (byte)(plan.Compute(of) ^ field.Read(of));
    }

    /// <summary>Compiles the tables, or gives null where the checksum is not of that kind, too wide or too far behind.</summary>
    public static ChecksumResidue? Compile(ChecksumPlan? plan) =>
        plan is { LastByte: < Positions, Definition: { Field.Length: <= 8, DataIds.Count: <= 1, Family: ChecksumFamily.Crc or ChecksumFamily.Xor or ChecksumFamily.NibbleXor, Start: 0 } definition }
            ? new ChecksumResidue(plan, new BitWindow(definition.Field), Positions)
            : null;

    /// <summary>Counts the rows whose checksum is wrong. Rows of eight bytes, each long enough for the checksum.</summary>
    public void Scan(MessageBlock block, Occurrences bad)
    {
        ReadOnlySpan<byte> table = tables;
        var row = 0;
        foreach (var bytes in MemoryMarshal.Cast<byte, ulong>(block.Rows))
        {
            var residue = table[(byte)bytes]
                ^ table[Values + (byte)(bytes >> 8)]
                ^ table[(2 * Values) + (byte)(bytes >> 16)]
                ^ table[(3 * Values) + (byte)(bytes >> 24)]
                ^ table[(4 * Values) + (byte)(bytes >> 32)]
                ^ table[(5 * Values) + (byte)(bytes >> 40)]
                ^ table[(6 * Values) + (byte)(bytes >> 48)]
                ^ table[(7 * Values) + (byte)(bytes >> 56)];
            if (residue != 0)
            {
                bad.Add(new FrameTime(block.Times[row]));
            }

            row++;
        }
    }

    // Its length is part of its type, so that no index made of a byte needs to be checked.
    [InlineArray(Positions * Values)]
    private struct Tables
    {
        private byte first;
    }
}
