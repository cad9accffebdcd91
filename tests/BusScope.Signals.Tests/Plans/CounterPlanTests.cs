using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public sealed class CounterPlanTests
{
    // In a byte, across two, in short payloads and in long ones; what stands around it lives.
    private static readonly Gen<(CounterDefinition Counter, int Stride, int Count, int First, int Seed)> any =
        from stride in Gen.Bool.Select(isLong => isLong ? 64 : 8)
        from length in Gen.Int[1, 10]
        from along in Gen.Int[0, (stride * 8) - length]
        from order in Gen.Enum<ByteOrder>()
        from step in Gen.Int[1, (1 << length) - 1]
        from count in Gen.Int[1, MessageBlock.Capacity]
        from first in Gen.Int[0, (1 << length) - 1]
        from seed in Gen.Int
        select (new CounterDefinition(new BitField(new BitPosition(along / 8, order == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, order)) { Step = step, Modulo = 1 << length }, stride, count, first, seed);

    [Fact]
    public void A_block_in_which_the_counter_goes_on_is_taken_at_once_and_one_in_which_it_does_not_is_left_alone() => any.Sample(
        (definition, stride, count, first, seed) =>
        {
            var (counter, dice) = (new CounterPlan(definition), new Random(seed));
            var payloads = new byte[count][];
            for (var row = 0; row < count; row++)
            {
                dice.NextBytes(payloads[row] = new byte[stride]);
                Write(payloads[row], definition.Field, Value(row));
            }

            var tally = new MessageTally(0) { LastCounter = dice.Next(2) == 0 ? -1 : Value(-1) };
            var before = tally.LastCounter;

            Assert.True(counter.StepsThrough(Block(payloads, stride), tally));
            Assert.Equal((Value(count - 1), count == 1 ? before : Value(count - 2)), (tally.LastCounter, tally.SecondLastCounter));

            // Another value in one row; the first has nothing before it that it could differ from where nothing came before.
            var broken = dice.Next(count);
            Write(payloads[broken], definition.Field, Value(broken) ^ 1);
            tally = new MessageTally(0) { LastCounter = Value(-1) };

            Assert.False(counter.StepsThrough(Block(payloads, stride), tally));
            Assert.Equal((Value(-1), -1), (tally.LastCounter, tally.SecondLastCounter));

            int Value(int row) => (first + (((row + 1) * definition.Step) % definition.Modulo)) % definition.Modulo;
        },
        iter: 400);

    private static MessageBlock Block(byte[][] payloads, int stride)
    {
        var block = new MessageBlock(stride);
        foreach (var payload in payloads)
        {
            var frame = default(Frame);
            frame.Set(new FrameTime(1), 0, new CanId(1, false), FrameKinds.None, payload);
            block.Add(frame);
        }

        return block;
    }

    // Bit by bit, along the field.
    private static void Write(byte[] payload, BitField field, int value)
    {
        for (var n = 0; n < field.Length; n++)
        {
            var at = field.At(n);
            var weight = field.Order == ByteOrder.Big ? field.Length - 1 - n : n;
            payload[at.Byte] = (byte)((payload[at.Byte] & ~(1 << at.Bit)) | (((value >> weight) & 1) << at.Bit));
        }
    }
}
