using System.Numerics;
using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Payloads;

/// <summary>Whether a payload may be demanded to live: it never rested for long enough, protection aside.</summary>
internal static class LifeFinder
{
    // What was seen for a shorter time proves nothing of the next minute. This program's choice.
    private const int FewestStretches = 8;
    private static readonly FrameSpan shortestTime = FrameSpan.FromSeconds(5);

    // Fewer are a state of the sender, or a counter that was not recognised, and no value. This program's choice.
    private const int FewestBits = 4;

    /// <summary>For each payload byte the bits that live together, up to the last of them; empty where there are none.</summary>
    /// <param name="study">The message.</param>
    /// <param name="timing">When it is sent: what has no period rests between its events.</param>
    /// <param name="counters">Everything in it that counts.</param>
    /// <param name="checksum">Its checksum, what may be it, or null.</param>
    /// <param name="copies">Bytes that repeat others: a copy of a counter is no life either.</param>
    public static ReadOnlyMemory<byte> Find(IdentifierStudy study, LearnedTiming timing, IReadOnlyList<FoundCounter> counters, FoundChecksum? checksum, IReadOnlyList<ByteCopy> copies)
    {
        if (timing.Period is not { } period || study.Life.Stretches < FewestStretches || period * (study.Life.Stretches * LifeStudy.Stretch) < shortestTime)
        {
            return default;
        }

        var bits = new byte[study.Length];
        for (var i = 0; i < bits.Length; i++)
        {
            bits[i] = study.Bits.ChangedBits(i);
        }

        BitField?[] protection = [.. counters.Select(counter => (BitField?)counter.Definition.Field), checksum?.Definition?.Field, checksum?.Suspect, .. checksum?.Rivals.Select(rival => (BitField?)rival.Field) ?? []];
        foreach (var field in protection.OfType<BitField>())
        {
            for (var bit = 0; bit < field.Length; bit++)
            {
                var at = field.At(bit);
                bits[at.Byte] &= (byte)~(1 << at.Bit);
            }
        }

        foreach (var copy in copies)
        {
            bits[copy.Byte] &= bits[copy.Of];
        }

        return bits.Sum(part => BitOperations.PopCount(part)) < FewestBits || !study.Life.NeverRests(bits)
            ? default
            : bits.AsMemory(0, bits.AsSpan().LastIndexOfAnyExcept((byte)0) + 1);
    }
}
