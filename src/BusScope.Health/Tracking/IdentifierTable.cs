using System.Numerics;
using System.Runtime.CompilerServices;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// From bus and identifier to a number: a direct table for the 11-bit identifiers of the first buses, open addressing for
/// everything else. A dictionary would cost more than everything else that is done with a frame.
/// </summary>
internal sealed class IdentifierTable
{
    // Sixty-four tables take half a megabyte; a recording that claims thousands of buses must not claim a table for each.
    private const int LargestDirectBuses = 64;
    private const uint DirectSize = CanId.LargestBase + 1;
    private const int FirstSize = 256;

    // An empty place. No key is 0, because bit 63 is set in each.
    private const ulong Empty = 0;

    // A direct entry holds the number plus 1, so that a fresh table is empty.
    private int[] direct = [];
    private ulong[] keys = new ulong[FirstSize];
    private int[] numbers = new int[FirstSize];
    private int shift = 64 - BitOperations.Log2(FirstSize);
    private int count;

    /// <summary>Makes the direct tables for so many buses.</summary>
    public void MakeRoom(int buses)
    {
        var size = Math.Min(buses, LargestDirectBuses) * (int)DirectSize;
        if (size > direct.Length)
        {
            Array.Resize(ref direct, size);
        }
    }

    /// <summary>The same table, which goes on by itself.</summary>
    public IdentifierTable Copy()
    {
        var copy = (IdentifierTable)MemberwiseClone();
        copy.direct = [.. direct];
        copy.keys = [.. keys];
        copy.numbers = [.. numbers];
        return copy;
    }

    /// <summary>The number of an identifier on a bus, or -1.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int Find(int bus, CanId id)
    {
        var value = id.Value;
        var place = ((uint)bus * DirectSize) + value;
        return !id.IsExtended && value < DirectSize && place < (uint)direct.Length ? direct[place] - 1 : Search(KeyOf(bus, id));
    }

    /// <summary>Adds an identifier that <see cref="Find"/> does not know.</summary>
    public void Add(int bus, CanId id, int number)
    {
        var place = ((uint)bus * DirectSize) + id.Value;
        if (!id.IsExtended && id.Fits && place < (uint)direct.Length)
        {
            direct[place] = number + 1;
            return;
        }

        if (count * 2 >= keys.Length)
        {
            Grow();
        }

        Insert(KeyOf(bus, id), number);
        count++;
    }

    private static ulong KeyOf(int bus, CanId id) => (1UL << 63) | ((ulong)(uint)bus << 32) | (id.IsExtended ? 1UL << 31 : 0) | id.Value;

    private int Search(ulong key)
    {
        var table = keys;
        var place = Home(key);
        while (true)
        {
            var found = table[place];
            if (found == key)
            {
                return numbers[place];
            }

            if (found == Empty)
            {
                return -1;
            }

            place = (place + 1) & (table.Length - 1);
        }
    }

    // Multiplication by 2^64 divided by the golden ratio spreads neighbouring identifiers; the highest bits are the best.
    private int Home(ulong key) => (int)((key * 0x9E37_79B9_7F4A_7C15) >> shift);

    private void Insert(ulong key, int number)
    {
        var place = Home(key);
        while (keys[place] != Empty)
        {
            place = (place + 1) & (keys.Length - 1);
        }

        keys[place] = key;
        numbers[place] = number;
    }

    private void Grow()
    {
        var (oldKeys, oldNumbers) = (keys, numbers);
        keys = new ulong[oldKeys.Length * 2];
        numbers = new int[keys.Length];
        shift--;
        for (var i = 0; i < oldKeys.Length; i++)
        {
            if (oldKeys[i] != Empty)
            {
                Insert(oldKeys[i], oldNumbers[i]);
            }
        }
    }
}
