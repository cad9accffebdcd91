using BusScope.Frames;

namespace BusScope.Analysis.Learning.Conditions;

/// <summary>A bit of an always-present message that tells when others are sent.</summary>
/// <param name="Bus">The bus of its message.</param>
/// <param name="Id">The identifier of its message.</param>
/// <param name="Byte">The payload byte.</param>
/// <param name="Bit">0 to 7, 7 the most significant.</param>
/// <param name="IsSet">The value that it has while they are sent.</param>
public sealed record SwitchBit(string Bus, CanId Id, int Byte, int Bit, bool IsSet);

/// <summary>A state of the car on which several messages depend, such as the ignition, as far as bits tell it.</summary>
/// <param name="Bits">The bit that explains it. Several where the captures do not tell them apart, because the state changed only once, or never within a capture.</param>
/// <param name="Turns">How often it changed in the captures; zero where it only differs between them.</param>
/// <param name="Messages">How many messages it explains.</param>
public sealed record LearnedCondition(IReadOnlyList<SwitchBit> Bits, int Turns, int Messages)
{
    /// <summary>Whether it was seen to change: captures apart differ in much else.</summary>
    public bool WasSeenToChange => Turns > 0;

    /// <summary>How many of the bits must say so for it to hold: the one; of several all but one, or all where it was never seen to change.</summary>
    public int Demanded => Bits.Count > 1 && WasSeenToChange ? Bits.Count - 1 : Bits.Count;
}
