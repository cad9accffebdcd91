using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.Intrinsics;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>An alive counter compiled for running. Frozen.</summary>
internal sealed class CounterPlan
{
    private readonly int step;

    // Nanoseconds; 0 where the message has none.
    private readonly long period;

    // Nanoseconds. Beyond it the message is stale, which is told by itself: how its counter went on meanwhile says nothing more.
    private readonly long longestGap;

    /// <summary>Compiles a counter.</summary>
    /// <param name="definition">The counter.</param>
    /// <param name="timing">When its message comes.</param>
    public CounterPlan(CounterDefinition definition, MessageTiming? timing = null)
    {
        Definition = definition;
        period = timing?.Every?.Nanoseconds ?? 0;
        longestGap = timing?.StaleAfter?.Nanoseconds ?? long.MaxValue;
        Window = new BitWindow(definition.Field);
        Modulo = Math.Max(1, definition.Modulo);
        step = ((definition.Step % Modulo) + Modulo) % Modulo;
    }

    /// <summary>What it was compiled from.</summary>
    public CounterDefinition Definition { get; }

    /// <summary>Where it stands.</summary>
    public BitWindow Window { get; }

    /// <summary>Values run from 0 to this less 1.</summary>
    public int Modulo { get; }

    /// <summary>The value in a payload that reaches to the field's last byte.</summary>
    public int Read(ReadOnlySpan<byte> payload) => (int)Window.Read(payload);

    /// <summary>The value that must follow, or -1 after a value that the counter cannot have.</summary>
    public int After(int value)
    {
        if ((uint)value >= (uint)Modulo)
        {
            return -1;
        }

        var next = value + step;
        return next >= Modulo ? next - Modulo : next;
    }

    /// <summary>The value in the frame that so many went before.</summary>
    public int At(long count) => (int)(count % Modulo * step % Modulo);

    /// <summary>Holds the next frame's counter against those before it.</summary>
    public void Step(int value, FrameTime at, MessageTally tally)
    {
        if (tally.LastCounter >= 0 && value != After(tally.LastCounter) && at.Nanoseconds - tally.LastCounterAt is var gap && gap <= longestGap)
        {
            if (SentBetween(tally.LastCounter, value, gap) is > 0 and var sent)
            {
                tally.CounterMissed.Add(at);
                tally.SentInGaps += sent;
            }
            else if (value == tally.LastCounter)
            {
                tally.CounterRepeated.Add(at);
            }
            else
            {
                tally.CounterSkipped.Add(at);
                tally.CounterFollowsSecondLast += tally.SecondLastCounter >= 0 && value == After(tally.SecondLastCounter) ? 1 : 0;
            }
        }

        tally.SecondLastCounter = tally.LastCounter;
        tally.LastCounter = value;
        tally.LastCounterAt = at.Nanoseconds;
    }

    // How many frames were sent in a gap of so many nanoseconds, where the counter went on over it by just as many, once round and back to
    // the same value included; otherwise 0.
    private long SentBetween(int before, int value, long gap)
    {
        if (period <= 0 || (uint)before >= (uint)Modulo)
        {
            return 0;
        }

        var steps = (gap + (period / 2)) / period;
        return steps >= 2 && value == (int)((before + (steps % Modulo * step)) % Modulo) ? steps - 1 : 0;
    }

    /// <summary>
    /// Holds a whole block against its predecessors, or gives false and leaves the tally alone where any counter is not the next:
    /// the usual case, in which nothing has to be counted, in one loop. All rows hold the counter.
    /// </summary>
    public bool StepsThrough(MessageBlock block, MessageTally tally)
    {
        if (!BitOperations.IsPow2(Modulo) || (ulong)Modulo != Window.Mask + 1 || Window.Straddles)
        {
            return false;
        }

        var stepsThrough = block.Stride == Payload.ClassicCapacity && Window.Bytes == 1 ? StepsThroughPlane(block.Planes, tally) : StepsThroughRows(block, tally);
        if (stepsThrough)
        {
            tally.LastCounterAt = block.Times[^1];
        }

        return stepsThrough;
    }

    // Sixteen rows at once, the field left where it stands in its byte: the difference of two bytes is that of their fields, as long as
    // nothing stands below them.
    private bool StepsThroughPlane(BytePlanes planes, MessageTally tally)
    {
        var bytes = planes.Bytes(Window.LowestByte);
        var (shift, field) = (Window.ByteShift, (byte)(Window.Mask << Window.ByteShift));
        var (fields, steps) = (Vector128.Create(field), Vector128.Create((byte)(step << shift)));
        var any = Vector128<byte>.Zero;
        var row = 1;
        for (; row + Vector128<byte>.Count <= bytes.Length; row += Vector128<byte>.Count)
        {
            any |= (Vector128.Create(bytes[row..]) & fields) - (Vector128.Create(bytes[(row - 1)..]) & fields) - steps;
        }

        var differences = (any & fields) != Vector128<byte>.Zero ? 1 : 0;
        for (; row < bytes.Length; row++)
        {
            differences |= ((bytes[row] & field) - (bytes[row - 1] & field) - (step << shift)) & field;
        }

        var first = ValueOf(bytes[0]);
        if (differences != 0 || (tally.LastCounter >= 0 && After(tally.LastCounter) != first))
        {
            return false;
        }

        tally.SecondLastCounter = bytes.Length == 1 ? tally.LastCounter : ValueOf(bytes[^2]);
        tally.LastCounter = ValueOf(bytes[^1]);
        return true;

        int ValueOf(byte from) => (from & field) >> shift;
    }

    private bool StepsThroughRows(MessageBlock block, MessageTally tally)
    {
        var rows = block.Rows;
        var window = Window;
        var mask = (int)window.Mask;
        var first = (int)window.Cut(BinaryPrimitives.ReadUInt64LittleEndian(rows[window.Offset..]));
        var previous = tally.LastCounter >= 0 ? tally.LastCounter : (first - step) & mask;
        var (secondLast, differences) = (tally.LastCounter, 0);
        for (var at = window.Offset; at < rows.Length; at += block.Stride)
        {
            var value = (int)window.Cut(BinaryPrimitives.ReadUInt64LittleEndian(rows[at..]));
            differences |= ((previous + step) & mask) ^ value;
            secondLast = previous;
            previous = value;
        }

        if (differences != 0)
        {
            return false;
        }

        // A block of one row that is the first of all has nothing before it.
        tally.SecondLastCounter = block.Count == 1 ? tally.LastCounter : secondLast;
        tally.LastCounter = previous;
        return true;
    }
}
