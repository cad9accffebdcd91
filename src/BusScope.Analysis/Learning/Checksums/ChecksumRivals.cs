using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>
/// Chooses among what was found in the fields of one message. Where two forms explain the same bits, the payloads do not tell which
/// one the sender computes: none is claimed, and both are named.
/// </summary>
internal sealed class ChecksumRivals(PayloadProfile profile)
{
    private FoundChecksum? best;
    private FoundChecksum? undecided;
    private BitField? suspect;

    /// <summary>The claim; else what is in doubt; else a field that behaves like a checksum; null where there is none of these.</summary>
    public FoundChecksum? Outcome => best ?? undecided ?? (suspect is null ? null : new FoundChecksum(null, 0, profile.Samples.Count, 0, suspect));

    /// <summary>Forms that fit alike, as a result that claims none of them.</summary>
    public static FoundChecksum Undecided(IReadOnlyList<FoundChecksum> fits) =>
        new(null, 0, fits[0].Payloads, 0, null) { Rivals = [.. fits.Select(fit => fit.Definition!)] };

    /// <summary>Takes in what was found in a field, or null; halves of a byte come right after the byte, wider fields last.</summary>
    public void Weigh(BitField field, FoundChecksum? found)
    {
        suspect ??= found is null && profile.MayBeProtection(field) ? field : null;
        if (best is { Definition: { } whole } && IsHalfInDoubt(whole.Field, field) && (found?.Definition ?? PlainOf(field, whole.Over)) is { } half)
        {
            // The other half of the byte never changed: whether it belongs to the checksum was not to be seen.
            undecided = Undecided([best]) with { Rivals = [whole, half] };
            best = null;
        }
        else if (found is { Definition: null })
        {
            undecided ??= found;
        }
        else if (found is not null && !IsHalfOfDoubt(field) && (best is null || Beats(found, best)))
        {
            best = found;
        }
    }

    // Too little for a claim of its own is enough to cast doubt on another, if it explains the bits as plainly: by the same bytes, without a
    // constant of its own.
    private ChecksumDefinition? PlainOf(BitField half, IReadOnlyList<ByteRange> over)
    {
        var coverage = new Coverage(Math.Min(over.Min(range => range.From), half.FirstByte), Math.Max(over.Max(range => range.To), half.LastByte), half);
        foreach (var form in ArithmeticForm.All(half.Length))
        {
            if (ChecksumFinder.Holds(profile.Samples, form, coverage) is var (constant, wrong) && form.Bonus(constant) > 0 && !profile.IsCopy(half, wrong))
            {
                return form.Define(coverage, constant);
            }
        }

        return null;
    }

    private bool IsHalfInDoubt(BitField whole, BitField half) =>
        whole.Length == 8 && half.Length == 4 && whole.Overlaps(half) && profile.ChangedBits(whole) == profile.ChangedBits(half);

    // What a half explains of a byte, forms over the whole byte explain with the other half: while those are in doubt, it is no claim.
    private bool IsHalfOfDoubt(BitField half) =>
        half.Length == 4 && undecided is { Rivals: var rivals } && rivals.Any(rival => rival.Field.Length == 8 && rival.Field.Overlaps(half));

    private static bool Beats(FoundChecksum found, FoundChecksum best) =>
        IsPart(best.Definition!, found.Definition!) || (found.EvidenceBits > best.EvidenceBits && !IsPart(found.Definition!, best.Definition!) && !IsTheSameSum(found, best));

    // A part of a checksum is often one itself: the low byte of a sum, half a byte of an exclusive or, and a byte of the payload that follows from all
    // others by the checksum. The whole was proven for all its bits, and explains the part.
    private static bool IsPart(ChecksumDefinition part, ChecksumDefinition whole) => part.Field.Length < whole.Field.Length
        && (part.Field.Overlaps(whole.Field) || whole.Over.Any(range => range.From <= part.Field.FirstByte && part.Field.LastByte <= range.To));

    // A sum over all bytes comes out the same wherever its field is thought to stand: the usual place, which is tried first, is as good as any.
    private static bool IsTheSameSum(FoundChecksum a, FoundChecksum b) =>
        a.Definition is { Crc: null } one && b.Definition is { Crc: null } other && one.Family == other.Family && one.Field.Length == other.Field.Length;
}
