using System.Runtime.Intrinsics;
using BusScope.Signals.Plans;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public sealed class BytePlanesTests
{
    private static readonly Gen<Vector128<byte>> anyVector = Gen.Byte.Array[16].Select(bytes => Vector128.Create(bytes));

    [Fact]
    public void Each_plane_has_its_byte_of_every_row_in_the_order_of_the_rows_and_the_last_one_to_the_end_of_a_vector() =>
        Gen.Byte.Array[8].Array[1, MessageBlock.Capacity].Array[1, 3].Sample(
            blocks =>
            {
                var planes = new BytePlanes();
                foreach (var rows in blocks)
                {
                    planes.Fill([.. rows.SelectMany(row => row)]);

                    for (var index = 0; index < 8; index++)
                    {
                        Assert.Equal(rows.Select(row => row[index]), planes.Bytes(index).ToArray());
                        var vectors = planes[index].ToArray().SelectMany(vector => Enumerable.Range(0, 16).Select(i => vector[i])).ToArray();
                        Assert.Equal((rows.Length + 15) / 16 * 16, vectors.Length);
                        Assert.Equal(Enumerable.Range(0, vectors.Length).Select(i => rows[Math.Min(i, rows.Length - 1)][index]), vectors);
                        Assert.Equal(planes[index].ToArray(), planes.All.Slice(index * BytePlanes.VectorsPerPlane, planes.Vectors).ToArray());
                    }
                }
            },
            iter: 60);

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(8)]
    public void Elements_of_two_vectors_come_in_turn_on_this_processor_and_on_every_other(int size) =>
        Gen.Select(anyVector, anyVector).Sample((left, right) =>
        {
            var (lower, upper) = (InTurn(left, right, size, 0), InTurn(left, right, size, 8));

            var (here, anywhere) = size switch
            {
                1 => ((Interleaving.LowerBytes(left, right), Interleaving.UpperBytes(left, right)), (Interleaving.Anywhere.LowerBytes(left, right), Interleaving.Anywhere.UpperBytes(left, right))),
                2 => ((Interleaving.LowerTwos(left, right), Interleaving.UpperTwos(left, right)), (Interleaving.Anywhere.LowerTwos(left, right), Interleaving.Anywhere.UpperTwos(left, right))),
                4 => ((Interleaving.LowerFours(left, right), Interleaving.UpperFours(left, right)), (Interleaving.Anywhere.LowerFours(left, right), Interleaving.Anywhere.UpperFours(left, right))),
                _ => ((Interleaving.LowerEights(left, right), Interleaving.UpperEights(left, right)), (Interleaving.Anywhere.LowerEights(left, right), Interleaving.Anywhere.UpperEights(left, right))),
            };
            Assert.Equal((lower, upper), here);
            Assert.Equal((lower, upper), anywhere);
        });

    private static Vector128<byte> InTurn(Vector128<byte> left, Vector128<byte> right, int size, int from)
    {
        var bytes = new byte[16];
        for (var i = 0; i < bytes.Length; i++)
        {
            bytes[i] = (i / size % 2 == 0 ? left : right)[from + (i / (2 * size) * size) + (i % size)];
        }

        return Vector128.Create(bytes);
    }
}
