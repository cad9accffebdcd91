using System.Numerics;
using System.Runtime.CompilerServices;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// From bus and identifier (<see cref="Frame.Origin"/>) to a number, by open addressing in eight bytes an entry. So few places are taken that nearly every
/// identifier stands where it belongs, and 11 and 29 bits go the same way: a branch between the two could not be foretold. A dictionary
/// would cost more than everything else that is done with a frame.
/// </summary>
internal sealed class IdentifierTable
{
    /// <summary>The most identifiers: numbers go from 0 to this less 1.</summary>
    public const int Largest = (1 << NumberBits) - 1;

    private const int FirstSize = 1_024;

    // At most one place of eight is taken.
    private const int Sparseness = 8;

    // An entry is bus and identifier, then the number plus 1, which makes it differ from an empty place.
    private const int NumberBits = 16;
    private const ulong Empty = 0;

    private ulong[] entries = new ulong[FirstSize];
    private int shift = 64 - BitOperations.Log2(FirstSize);
    private int count;

    /// <summary>The same table, which goes on by itself.</summary>
    public IdentifierTable Copy()
    {
        var copy = (IdentifierTable)MemberwiseClone();
        copy.entries = [.. entries];
        return copy;
    }

    /// <summary>What stands in it now, for many searches; holds until something is added.</summary>
    public View Now => new(entries, shift);

    /// <summary>The number of a data frame's identifier on its bus, or -1.</summary>
    public int Find(ulong origin) => Now.Find(origin);

    /// <summary>Adds an identifier that <see cref="Find"/> does not know.</summary>
    public void Add(ulong origin, int number)
    {
        if (++count * Sparseness > entries.Length)
        {
            Grow();
        }

        Insert(origin + (uint)number + 1);
    }

    // Multiplication by 2^64 divided by the golden ratio spreads neighbouring identifiers; the highest bits are the best.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Home(ulong origin, int shift) => (int)((origin * 0x9E37_79B9_7F4A_7C15) >> shift);

    private void Insert(ulong entry)
    {
        var place = Home(entry & ~(ulong)Largest, shift);
        while (entries[place] != Empty)
        {
            place = (place + 1) & (entries.Length - 1);
        }

        entries[place] = entry;
    }

    private void Grow()
    {
        var old = entries;
        entries = new ulong[old.Length * 2];
        shift--;
        foreach (var entry in old)
        {
            if (entry != Empty)
            {
                Insert(entry);
            }
        }
    }

    /// <summary>The entries at one moment.</summary>
    public readonly ref struct View
    {
        private readonly ReadOnlySpan<ulong> entries;
        private readonly int shift;

        internal View(ReadOnlySpan<ulong> entries, int shift)
        {
            this.entries = entries;
            this.shift = shift;
        }

        /// <summary>The number of a data frame's identifier on its bus, or -1; that for every other frame.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public int Find(ulong origin)
        {
            for (var place = Home(origin, shift); (uint)place < (uint)entries.Length; place = (place + 1) & (entries.Length - 1))
            {
                var entry = entries[place];

                // Of an entry of this origin nothing is left but its number.
                if ((entry ^ origin) - 1 is < Largest and var number)
                {
                    return (int)number;
                }

                if (entry == Empty)
                {
                    break;
                }
            }

            return -1;
        }
    }
}
