using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Terminal.Screens;

/// <summary>Which signal each bit of a payload belongs to, by letters that also stand before the signals' names. On the screen's thread.</summary>
internal sealed class BitLegend
{
    /// <summary>Stand for no signal, the counter, the checksum, bits that several signals share, and the field that is being defined.</summary>
    public const char Free = ' ', Counter = '#', Checksum = '=', Shared = '&', Draft = '+';

    private const string Letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

    private readonly char[] letters = new char[Payload.Capacity * 8];
    private readonly int[] rows = new int[Payload.Capacity * 8];

    /// <summary>The letter of a signal by its place in the list; further ones begin anew.</summary>
    public static char LetterOf(int row) => Letters[row % Letters.Length];

    /// <summary>The bytes that signals, counter or checksum reach to.</summary>
    public int Bytes { get; private set; }

    /// <summary>The letter at a bit.</summary>
    public char At(BitPosition bit) => letters[(bit.Byte * 8) + bit.Bit];

    /// <summary>The row of the signal at a bit in the list of signals, or -1.</summary>
    public int RowAt(BitPosition bit) => rows[(bit.Byte * 8) + bit.Bit];

    /// <summary>Takes a message.</summary>
    /// <param name="plan">Its plan, or null.</param>
    /// <param name="payload">The latest payload: of a multiplexer the branch that is there is shown. Empty for all.</param>
    /// <param name="draft">The field that is being defined, or null.</param>
    public void Take(MessagePlan? plan, ReadOnlySpan<byte> payload, BitField? draft)
    {
        Array.Fill(letters, Free);
        Array.Fill(rows, -1);
        Bytes = plan?.Definition.Length ?? 0;
        var count = plan?.Signals.Count ?? 0;
        for (var i = 0; i < count; i++)
        {
            var field = plan!.Signals[i].Definition.Field;
            Bytes = Math.Max(Bytes, field.LastByte + 1);
            if (payload.IsEmpty || plan.Read(i, payload).Quality != SampleQuality.Absent)
            {
                Put(field, LetterOf(i), i);
            }
        }

        Protect(plan?.Definition.Counter?.Field, Counter);
        Protect(plan?.Definition.Checksum?.Field, Checksum);
        for (var n = 0; draft is { } field && n < field.Length; n++)
        {
            letters[Place(field.At(n))] = Draft;
        }
    }

    private static int Place(BitPosition bit) => (bit.Byte * 8) + bit.Bit;

    // A signal that is the counter or the checksum itself keeps its letter.
    private void Protect(BitField? protection, char letter)
    {
        if (protection is { } field)
        {
            Bytes = Math.Max(Bytes, field.LastByte + 1);
            for (var n = 0; n < field.Length; n++)
            {
                ref var there = ref letters[Place(field.At(n))];
                there = there == Free ? letter : there;
            }
        }
    }

    private void Put(BitField field, char letter, int row)
    {
        for (var n = 0; n < field.Length && Place(field.At(n)) < letters.Length; n++)
        {
            var place = Place(field.At(n));
            letters[place] = letters[place] == Free ? letter : Shared;
            rows[place] = rows[place] < 0 ? row : rows[place];
        }
    }
}
