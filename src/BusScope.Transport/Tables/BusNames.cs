using System.Text;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>The buses of a table by the text of their cells. A known name costs a comparison of bytes and no allocation.</summary>
internal sealed class BusNames
{
    /// <summary>The most buses of a table; a column with more distinct texts is no bus column.</summary>
    public const int Most = 256;

    /// <summary>The longest name in bytes.</summary>
    public const int LongestName = 64;

    private readonly List<byte[]> texts = [];
    private readonly List<Bus> buses = [];
    private int latest;

    /// <summary>The buses so far.</summary>
    public IReadOnlyList<Bus> All => buses;

    /// <summary>Takes a bus on without a cell, for a table that has no column for it.</summary>
    public void Add(string name)
    {
        texts.Add(Encoding.UTF8.GetBytes(name));
        buses.Add(new Bus(name));
    }

    /// <summary>The index of the bus with this text, met before or not; or what is wrong with it.</summary>
    public ProblemKind? Find(ReadOnlySpan<byte> text, out int index)
    {
        index = latest;
        if (index < texts.Count && text.SequenceEqual(texts[index]))
        {
            return null;
        }

        for (index = 0; index < texts.Count; index++)
        {
            if (text.SequenceEqual(texts[index]))
            {
                latest = index;
                return null;
            }
        }

        if (text.Length is 0 or > LongestName)
        {
            return TableProblems.NotABus;
        }

        if (texts.Count == Most)
        {
            return TableProblems.TooManyBuses;
        }

        texts.Add(text.ToArray());
        buses.Add(new Bus(Encoding.UTF8.GetString(text)));
        return null;
    }
}
