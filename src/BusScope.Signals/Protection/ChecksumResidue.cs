using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Protection;

/// <summary>
/// Checks blocks of frames of one to eight bytes, sixteen of them at once. A CRC or an exclusive or, and with it the difference between the
/// field and what it must hold, is linear over single bits but for a constant: that difference is the exclusive or of what each half of a
/// byte adds to it by itself, whatever stands in the others.
/// </summary>
internal sealed class ChecksumResidue
{
    private readonly ResidueTable table;

    // What the difference is where all bits are zero: start, final exclusive or, and a data id that is not sent.
    private readonly byte constant;

    private ChecksumResidue(ResidueTable table, byte constant)
    {
        this.table = table;
        this.constant = constant;
    }

    /// <summary>Compiles a checksum, or gives null where it is not of that kind, too wide or too far behind.</summary>
    public static ChecksumResidue? Compile(ChecksumPlan? plan)
    {
        if (plan is not { LastByte: < Payload.ClassicCapacity, Definition: { Field.Length: <= 8, DataIds.Count: <= 1, Family: ChecksumFamily.Crc or ChecksumFamily.Xor or ChecksumFamily.NibbleXor, Start: 0 } definition })
        {
            return null;
        }

        var field = new BitWindow(definition.Field);
        Span<byte> payload = stackalloc byte[Payload.ClassicCapacity];
        Span<byte> effects = stackalloc byte[ResidueTable.Bits];
        payload.Clear();
        var constant = Difference(payload);
        for (var bit = 0; bit < effects.Length; bit++)
        {
            payload[bit / 8] = (byte)(1 << (bit % 8));
            effects[bit] = (byte)(Difference(payload) ^ constant);
            payload[bit / 8] = 0;
        }

        return new ChecksumResidue(new ResidueTable(effects), constant);

        byte Difference(ReadOnlySpan<byte> of) => (byte)(plan.Compute(of) ^ field.Read(of));
    }

    /// <summary>Counts the rows whose checksum is wrong. Rows of eight bytes, each long enough for the checksum.</summary>
    public void Scan(MessageBlock block, Occurrences bad)
    {
        if (AreAllRight(block.Planes))
        {
            return;
        }

        var row = 0;
        foreach (var bytes in MemoryMarshal.Cast<byte, ulong>(block.Rows))
        {
            if (table.Of(bytes) != constant)
            {
                bad.Add(new FrameTime(block.Times[row]));
            }

            row++;
        }
    }

    private bool AreAllRight(BytePlanes planes)
    {
        var any = Vector128<byte>.Zero;
        var all = planes.All;
        var vectors = planes.Vectors;
        for (var i = 0; i < vectors; i++)
        {
            var difference = Vector128.Create(constant);
            for (var index = 0; index < Payload.ClassicCapacity; index++)
            {
                difference ^= table.Of(index, all[(index * BytePlanes.VectorsPerPlane) + i]);
            }

            any |= difference;
        }

        return any == Vector128<byte>.Zero;
    }
}
