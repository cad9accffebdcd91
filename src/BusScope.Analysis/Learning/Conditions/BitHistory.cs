using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Conditions;

/// <summary>A bit of a payload took another value, or had this one in the first frame of a capture.</summary>
/// <param name="Capture">The number of the capture, from 0.</param>
/// <param name="Time">When.</param>
/// <param name="Before">When the frame before it came, the last one that told the other value; in the first frame of a capture, that frame itself.</param>
/// <param name="IsSet">The value from then on.</param>
public readonly record struct BitTurn(int Capture, FrameTime Time, FrameTime Before, bool IsSet);

/// <summary>
/// Which bits of an identifier's payload ever changed, and when those did that change seldom: only they can be a state of the car, such as
/// the ignition. A bit that turns more than <see cref="MostTurns"/> times is no longer followed.
/// </summary>
public sealed class BitHistory
{
    /// <summary>How many turns of a bit are kept.</summary>
    public const int MostTurns = 24;

    private const int Words = Payload.Capacity / 8;

    private readonly ulong[] first = new ulong[Words];
    private readonly ulong[] current = new ulong[Words];
    private readonly ulong[] changed = new ulong[Words];
    private readonly ulong[] followed = new ulong[Words];
    private readonly List<(int Capture, ulong[] Payload, FrameTime Time)> beginnings = [];
    private Dictionary<int, List<BitTurn>>? turns;
    private int capture = -1;
    private int length = -1;
    private FrameTime last;

    /// <summary>Bits that ever differed from the first frame, for each payload byte.</summary>
    public byte ChangedBits(int index) => (byte)(changed[index / 8] >> (8 * (index % 8)));

    /// <summary>The part of the payload that never changed; null where every digit did.</summary>
    /// <param name="bytes">How many bytes the payload has.</param>
    public ConstantPayload? Unchanged(int bytes) =>
        ConstantPayload.Of(MemoryMarshal.AsBytes(first.AsSpan())[..bytes], MemoryMarshal.AsBytes(changed.AsSpan())[..bytes]);

    /// <summary>The bits that changed, but seldom, within a capture or from one to another: byte × 8 + bit.</summary>
    public IEnumerable<int> SeldomChanged => Enumerable.Range(0, Math.Max(length, 0) * 8).Where(bit => Holds(changed, bit) && !IsBusy(bit));

    /// <summary>
    /// Whether the bit looks like a higher digit of a number: below it, through neighbours that changed as well, stands one that changed often. In either
    /// byte order.
    /// </summary>
    public bool IsPartOfNumber(int bit)
    {
        foreach (var towards in (int[])[-1, 1])
        {
            // Below bit 0 comes bit 7 of the byte before it in little, of the byte behind it in big byte order.
            var at = bit;
            do
            {
                at = at % 8 != 0 ? at - 1 : at + (8 * towards) + 7;
                if (at >= 0 && at < length * 8 && IsBusy(at))
                {
                    return true;
                }
            }
            while (at >= 0 && at < length * 8 && Holds(changed, at));
        }

        return false;
    }

    private bool IsBusy(int bit) => Holds(changed, bit) && !Holds(followed, bit);

    private static bool Holds(ulong[] words, int bit) => ((words[bit / 64] >> (bit % 64)) & 1) != 0;

    /// <summary>The value of a bit at the beginning of each capture, and its turns.</summary>
    /// <param name="bit">One of <see cref="SeldomChanged"/>, or one that never changed.</param>
    public IReadOnlyList<BitTurn> TurnsOf(int bit)
    {
        var all = beginnings.Select(start => new BitTurn(start.Capture, start.Time, start.Time, ((start.Payload[bit / 64] >> (bit % 64)) & 1) != 0));
        return [.. all.Concat(turns?.GetValueOrDefault(bit) ?? []).OrderBy(turn => turn.Capture).ThenBy(turn => turn.Time)];
    }

    /// <summary>A frame arrived.</summary>
    internal void Note(in Frame frame, int ofCapture)
    {
        var isFirst = length < 0;
        length = isFirst ? frame.Length : length;
        if (frame.Length != length)
        {
            return;
        }

        var begins = ofCapture != capture;
        var room = frame.Room;
        for (var word = 0; word * 8 < length; word++)
        {
            var now = BinaryPrimitives.ReadUInt64LittleEndian(room[(8 * word)..]);
            if (isFirst)
            {
                (first[word], followed[word]) = (now, ulong.MaxValue);
            }

            changed[word] |= now ^ first[word];
            if (!begins)
            {
                var turned = (now ^ current[word]) & followed[word];
                for (; turned != 0; turned &= turned - 1)
                {
                    Turn(word, BitOperations.TrailingZeroCount(turned), now, frame.Time);
                }
            }

            current[word] = now;
        }

        if (begins)
        {
            capture = ofCapture;
            beginnings.Add((capture, current.ToArray(), frame.Time));
        }

        last = frame.Time;
    }

    private void Turn(int word, int bit, ulong now, FrameTime time)
    {
        var key = (word * 64) + bit;
        turns ??= [];
        if (!turns.TryGetValue(key, out var list))
        {
            turns.Add(key, list = []);
        }

        list.Add(new BitTurn(capture, time, last < time ? last : time, ((now >> bit) & 1) != 0));
        if (list.Count > MostTurns)
        {
            turns.Remove(key);
            followed[word] &= ~(1UL << bit);
        }
    }
}
