using System.Runtime.CompilerServices;

namespace BusScope.Frames.Wire;

/// <summary>
/// Counts stuff bits: after five equal bits the sender inserts one of the other value, and that one counts in the next run
/// (ISO 11898-1, bit stuffing). What matters of the past is the last bit and how many equal ones end with it, 1 to 4: eight
/// states, so that a table of states × bytes takes eight bits at a step.
/// </summary>
internal static class BitStuffing
{
    // A state is the last bit (bit 2) and the run less one (bits 0 and 1); above it, bits 3 and 4, an entry holds the stuff bits.
    private const int StateBits = 3;
    private const int StateMask = 7;
    private const int LastBitShift = 2;
    private const int LongestRun = 5;

    private static readonly byte[] bytes = MakeTable(8);
    private static readonly byte[] fives = MakeTable(5);

    /// <summary>The state after a single dominant bit. Filling in front of a frame alternates and ends recessive, so it adds no stuff bit and SOF begins a run.</summary>
    public const int Start = 0;

    /// <summary>Takes eight bits, most significant first: the new state, with the inserted bits added to the count.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int NextByte(int state, byte value, ref int count)
    {
        int entry = bytes[(state << 8) | value];
        count += entry >> StateBits;
        return entry & StateMask;
    }

    /// <summary>Takes five bits.</summary>
    public static int NextFive(int state, int value, ref int count)
    {
        int entry = fives[(state << 5) | value];
        count += entry >> StateBits;
        return entry & StateMask;
    }

    /// <summary>Whether the state ends with an inserted bit, when the last bit of the content is known.</summary>
    public static bool EndsStuffed(int state, int lastBit) => state >> LastBitShift != lastBit;

    private static byte[] MakeTable(int width)
    {
        var made = new byte[8 << width];
        for (var state = 0; state < 8; state++)
        {
            for (var value = 0; value < 1 << width; value++)
            {
                var (last, run, count) = (state >> LastBitShift, (state & 3) + 1, 0);
                for (var i = width - 1; i >= 0; i--)
                {
                    var bit = (value >> i) & 1;
                    run = bit == last ? run + 1 : 1;
                    last = bit;
                    if (run == LongestRun)
                    {
                        (last, run, count) = (1 - bit, 1, count + 1);
                    }
                }

                made[(state << width) | value] = (byte)((count << StateBits) | (last << LastBitShift) | (run - 1));
            }
        }

        return made;
    }
}
