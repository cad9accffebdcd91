using System.Buffers.Binary;
using BusScope.Frames;

namespace BusScope.Analysis.Learning.Payloads;

/// <summary>
/// Whether a payload ever rests: which bits changed in each stretch of <see cref="Stretch"/> frames. A check calls only what rests for
/// four times as long constant (docs/health.md). Which bits count is known at the end only, so the stretches in which least changed
/// are kept: a bounded number, since one that changed all that another did says nothing more.
/// </summary>
public sealed class LifeStudy
{
    /// <summary>Frames in each of which a payload that lives changes at least once.</summary>
    public const int Stretch = 32;

    private const int Words = Payload.Capacity / 8;
    private const int MostKept = 64;

    private readonly ulong[] before = new ulong[Words];
    private readonly ulong[] changing = new ulong[Words];
    private readonly List<ulong[]> quietest = [];
    private int capture = -1;
    private int length = -1;
    private int frames;

    /// <summary>Whole stretches seen.</summary>
    public int Stretches { get; private set; }

    /// <summary>Whether at least one of these bits changed in every stretch; false before the first was whole.</summary>
    /// <param name="bits">For each payload byte.</param>
    public bool NeverRests(ReadOnlySpan<byte> bits)
    {
        Span<byte> padded = stackalloc byte[Payload.Capacity];
        padded.Clear();
        bits.CopyTo(padded);
        foreach (var changed in quietest)
        {
            var any = 0UL;
            for (var word = 0; word < Words; word++)
            {
                any |= changed[word] & BinaryPrimitives.ReadUInt64LittleEndian(padded[(8 * word)..]);
            }

            if (any == 0)
            {
                return false;
            }
        }

        return Stretches > 0;
    }

    /// <summary>A frame arrived.</summary>
    internal void Note(in Frame frame, int ofCapture)
    {
        length = length < 0 ? frame.Length : length;
        if (frame.Length != length)
        {
            return;
        }

        // Nothing is known of what happened between two captures; a stretch that was cut by it does not count.
        var follows = ofCapture == capture;
        (capture, frames) = (ofCapture, follows ? frames + 1 : 0);
        var room = frame.Room;
        for (var word = 0; word * 8 < length; word++)
        {
            var now = BinaryPrimitives.ReadUInt64LittleEndian(room[(8 * word)..]);
            changing[word] = follows ? changing[word] | (now ^ before[word]) : 0;
            before[word] = now;
        }

        if (frames == Stretch)
        {
            Close();
        }
    }

    private void Close()
    {
        Stretches++;
        frames = 0;
        if (!quietest.Exists(known => IsWithin(known, changing)))
        {
            quietest.RemoveAll(known => IsWithin(changing, known));
            quietest.Add([.. changing]);
            if (quietest.Count > MostKept)
            {
                // Two as one, of what they have in common: less is claimed than could be.
                for (var word = 0; word < Words; word++)
                {
                    quietest[^2][word] &= quietest[^1][word];
                }

                quietest.RemoveAt(quietest.Count - 1);
            }
        }

        Array.Clear(changing);
    }

    private static bool IsWithin(ulong[] some, ulong[] all)
    {
        for (var word = 0; word < Words; word++)
        {
            if ((some[word] & ~all[word]) != 0)
            {
                return false;
            }
        }

        return true;
    }
}
