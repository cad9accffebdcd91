using System.Numerics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Which message the frames of one bus are instances of: a direct table for 11-bit identifiers, open addressing for 29-bit
/// ones, then the parameter groups. Frozen once filled.
/// </summary>
public sealed class MessageIndex
{
    private const int SmallestTable = 16;

    private readonly int[] direct = new int[CanId.LargestBase + 1];
    private readonly Dictionary<(int Pgn, int Source), int> groups = [];
    private uint[] keys = new uint[SmallestTable];
    private int[] values = new int[SmallestTable];
    private int count;

    internal MessageIndex() => direct.AsSpan().Fill(-1);

    /// <summary>The message, or -1.</summary>
    public int Find(CanId id)
    {
        if (!id.IsExtended)
        {
            return id.Fits ? direct[id.Value] : -1;
        }

        var place = Place(id.Value, keys.Length);
        while (keys[place] != 0)
        {
            if (keys[place] == id.Value + 1)
            {
                return values[place];
            }

            place = (place + 1) & (keys.Length - 1);
        }

        return groups.Count == 0 ? -1 : FindGroup(J1939Id.From(id));
    }

    /// <summary>Adds a message by identifier; the first one wins.</summary>
    internal void Add(CanId id, int message)
    {
        if (!id.IsExtended)
        {
            if (id.Fits && direct[id.Value] < 0)
            {
                direct[id.Value] = message;
            }

            return;
        }

        if (++count * 2 > keys.Length)
        {
            Grow();
        }

        Insert(id.Value + 1, message);
    }

    /// <summary>Adds a message by parameter group; the first one wins.</summary>
    /// <param name="pgn">The group.</param>
    /// <param name="source">The source address, or -1 for any.</param>
    /// <param name="message">The message.</param>
    internal void AddGroup(int pgn, int source, int message) => groups.TryAdd((pgn, source), message);

    // Fibonacci hashing: neighbouring identifiers are usual, the highest bits of the product spread them.
    private static int Place(uint id, int size) => (int)((id + 1) * 0x9E37_79B9U >> (32 - BitOperations.Log2((uint)size)));

    private int FindGroup(J1939Id id) =>
        groups.TryGetValue((id.Pgn, id.Source), out var fromSource) ? fromSource
        : groups.TryGetValue((id.Pgn, -1), out var fromAny) ? fromAny
        : -1;

    private void Insert(uint key, int message)
    {
        var place = Place(key - 1, keys.Length);
        while (keys[place] != 0)
        {
            if (keys[place] == key)
            {
                return;
            }

            place = (place + 1) & (keys.Length - 1);
        }

        keys[place] = key;
        values[place] = message;
    }

    private void Grow()
    {
        var (oldKeys, oldValues) = (keys, values);
        keys = new uint[oldKeys.Length * 2];
        values = new int[keys.Length];
        for (var i = 0; i < oldKeys.Length; i++)
        {
            if (oldKeys[i] != 0)
            {
                Insert(oldKeys[i], oldValues[i]);
            }
        }
    }
}
