using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

/// <summary>The scans of whole blocks against a look at each row.</summary>
public sealed class KeyScanTests
{
    private static readonly Gen<(BitField Field, bool IsSigned, byte[] Rows, int Stride)> any =
        from stride in Gen.Bool.Select(isLong => isLong ? 64 : 8)
        from length in Gen.OneOf(Gen.Int[1, 8], Gen.Int[1, 16], Gen.Int[1, 63])
        from along in Gen.Int[0, (stride * 8) - length]
        from order in Gen.Enum<ByteOrder>()
        from isSigned in Gen.Bool
        from count in Gen.OneOf(Gen.Int[1, 40], Gen.Int[1, MessageBlock.Capacity])
        from rows in Gen.Byte.Array[count * stride]
        select (new BitField(new BitPosition(along / 8, order == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, order), isSigned, rows, stride);

    [Fact]
    public void The_smallest_and_the_largest_key_found_together_are_those_found_row_by_row()
    {
        var inPlanes = 0;
        any.Sample(
            (field, isSigned, rows, stride) =>
            {
                var window = new BitWindow(field);
                if (window.Straddles)
                {
                    return;
                }

                var sign = isSigned ? 1UL << (field.Length - 1) : 0;
                var keys = rows.Chunk(stride).Select(row => Bits(row, field) ^ sign).ToList();
                var expected = (keys.Min(), keys.Max());

                Assert.Equal(expected, RowScan.Keys(rows, stride, in window, sign));
                if (stride == 8 && window.Bytes <= 2)
                {
                    Interlocked.Increment(ref inPlanes);
                    var planes = new BytePlanes();
                    planes.Fill(rows);
                    Assert.Equal(expected, PlaneScan.Keys(planes, in window, sign));
                }
            },
            iter: 1_000);
        Assert.InRange(inPlanes, 100, int.MaxValue);
    }

    // Bit by bit, along the field.
    private static ulong Bits(byte[] row, BitField field)
    {
        var bits = 0UL;
        for (var n = 0; n < field.Length; n++)
        {
            var at = field.At(n);
            var bit = (ulong)(row[at.Byte] >> at.Bit) & 1;
            bits |= bit << (field.Order == ByteOrder.Big ? field.Length - 1 - n : n);
        }

        return bits;
    }
}
