using System.Buffers.Binary;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Records;

/// <summary>
/// Judges by the first frames of a capture whether its identifier words stand the right way round. Read the wrong way, three of
/// four 11-bit identifiers become words that no frame can have, while the right way makes all of them possible.
/// </summary>
internal sealed class IdentifierOrder(ProblemLog problems, bool isSwapped)
{
    private const int WordsJudged = 1000;
    private const int FewestWords = 4;

    // All error classes of include/uapi/linux/can/error.h lie below this bit.
    private const uint ErrorClassesEnd = 0x400;

    private int words;
    private int impossible;
    private int impossibleSwapped;
    private ProblemPlace first;

    /// <summary>Whether further words are wanted.</summary>
    public bool IsOpen { get; private set; } = true;

    /// <summary>Takes in one identifier word as it is being read.</summary>
    public void See(uint word, ProblemPlace place)
    {
        if (!IsPossible(word))
        {
            first = impossible == 0 ? place : first;
            impossible++;
        }

        impossibleSwapped += IsPossible(BinaryPrimitives.ReverseEndianness(word)) ? 0 : 1;
        if (++words == WordsJudged)
        {
            Close();
        }
    }

    /// <summary>Judges on what was seen; nothing more will come.</summary>
    public void Close()
    {
        if (!IsOpen)
        {
            return;
        }

        IsOpen = false;
        if (words >= FewestWords && impossible * 4 >= words && impossibleSwapped * 50 <= words)
        {
            var advice = isSwapped ? "they stand the right way round in this file: read it without swapping" : "read this file with its identifiers swapped";
            problems.Add(CaptureProblems.IdentifiersSwapped, first, $"{impossible} of the first {words} identifiers are impossible, the other way round {impossibleSwapped}; {advice}", impossible);
        }
    }

    /// <summary>Another reader has seen the first frames and judged.</summary>
    public void Pass() => IsOpen = false;

    private static bool IsPossible(uint word)
    {
        var value = word & CanId.LargestExtended;
        return (word & (RecordLayout.ExtendedBit | RecordLayout.ErrorBit)) switch
        {
            0 => value <= CanId.LargestBase,
            RecordLayout.ExtendedBit => true,
            RecordLayout.ErrorBit => value < ErrorClassesEnd && (word & RecordLayout.RemoteBit) == 0,
            _ => false,
        };
    }
}
