using System.Numerics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public class ExtractionTests
{
    private static readonly Gen<(BitField Field, byte[] Payload)> anyField =
        from length in Gen.Int[1, 64]
        from order in Gen.Enum<ByteOrder>()
        from bytes in Gen.Int[(length + 7) / 8, 64]
        from along in Gen.Int[0, (bytes * 8) - length]
        from payload in Gen.Byte.Array[bytes]
        select (new BitField(new BitPosition(along / 8, order == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, order), payload);

    [Fact]
    public void Every_field_reads_as_the_model_reads_it() => anyField.Sample((field, payload) =>
    {
        var plan = new MessagePlan(Define.Message(Define.Signal(field))).Signals[0];

        Assert.Equal(Model(field, payload), plan.Extract(payload));
    }, iter: 5_000);

    [Fact]
    public void Every_length_at_every_place_of_eight_and_of_nine_bytes_reads_as_the_model_reads_it()
    {
        var payload = new byte[9];
        new Random(1).NextBytes(payload);
        foreach (var order in Enum.GetValues<ByteOrder>())
        {
            for (var length = 1; length <= 64; length++)
            {
                for (var along = 0; along + length <= payload.Length * 8; along++)
                {
                    var field = new BitField(new BitPosition(along / 8, order == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, order);
                    var plan = new MessagePlan(Define.Message(Define.Signal(field))).Signals[0];

                    var bytes = payload.AsSpan(0, field.LastByte + 1);

                    Assert.Equal(Model(field, payload), plan.Extract(bytes));
                }
            }
        }
    }

    [Fact]
    public void A_signed_field_is_the_two_s_complement_of_its_bits() => anyField.Sample((field, payload) =>
    {
        var plan = new MessagePlan(Define.Message(Define.Signal(field) with { Encoding = SignalEncoding.Signed }));
        BigInteger expected = Model(field, payload);
        if (!(expected >> (field.Length - 1)).IsZero)
        {
            expected -= BigInteger.One << field.Length;
        }

        var sample = plan.Read(0, payload);

        Assert.Equal(new Sample(Model(field, payload), (double)(long)expected, SampleQuality.Ok), sample);
    }, iter: 5_000);

    [Fact]
    public void What_is_written_is_read_back_and_nothing_else_changes() =>
        (from field in anyField
         from value in Gen.ULong
         select (field.Field, field.Payload, value & (ulong.MaxValue >> (64 - field.Field.Length)))).Sample((field, before, value) =>
        {
            var plan = new MessagePlan(Define.Message(Define.Signal(field))).Signals[0];
            var after = before.ToArray();

            PayloadWriter.Write(after, field, value);

            Assert.Equal(value, plan.Extract(after));
            PayloadWriter.Write(after, field, plan.Extract(before));
            Assert.Equal(before, after);
        }, iter: 5_000);

    // Bits on a line, each at its own weight: no bytes, no shifts, no words.
    private static ulong Model(BitField field, byte[] payload)
    {
        var bits = new List<bool>();
        for (var i = 0; i < payload.Length; i++)
        {
            for (var b = 0; b < 8; b++)
            {
                bits.Add((payload[i] / (1 << (field.Order == ByteOrder.Big ? 7 - b : b)) % 2) == 1);
            }
        }

        var start = (field.Start.Byte * 8) + (field.Order == ByteOrder.Big ? 7 - field.Start.Bit : field.Start.Bit);
        var value = BigInteger.Zero;
        for (var n = 0; n < field.Length; n++)
        {
            if (bits[start + n])
            {
                value += BigInteger.Pow(2, field.Order == ByteOrder.Big ? field.Length - 1 - n : n);
            }
        }

        return (ulong)value;
    }
}
