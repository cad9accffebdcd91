using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>What a search for a checksum came to.</summary>
/// <param name="Definition">The checksum, or null where none is claimed.</param>
/// <param name="Matches">Payloads that it holds for.</param>
/// <param name="Payloads">Payloads looked at.</param>
/// <param name="EvidenceBits">How much more was confirmed than was chosen: a wrong claim has a chance of about 2 to the minus this.</param>
/// <param name="Suspect">A field that behaves like a checksum although no form fits, or null.</param>
public sealed record FoundChecksum(ChecksumDefinition? Definition, int Matches, int Payloads, double EvidenceBits, BitField? Suspect)
{
    /// <summary>Where none is claimed: the forms that fit alike, which these payloads do not tell apart.</summary>
    public IReadOnlyList<ChecksumDefinition> Rivals { get; init; } = [];
}

/// <summary>
/// Finds checksums by computation. For every field that could be one and every range of bytes that it could cover, the payload's
/// part is taken off by each form; the form whose remainder is the same for all payloads is the sender's. It claims nothing
/// without variety: independent changes of the payload must outweigh the number of forms that were tried.
/// </summary>
public static class ChecksumFinder
{
    /// <summary>Frames may be damaged or sent by somebody else, but not many in a healthy capture.</summary>
    private const double LeastShare = 0.99;

    /// <summary>A claim must be a million times likelier than chance.</summary>
    private const double LeastEvidenceBits = 20;

    /// <summary>A counter of four bits alone, with or without its mirror, makes a rank of four.</summary>
    private const int LeastRank = 5;

    /// <summary>Data ids that depend on the counter: one for each value of four bits.</summary>
    private const int MostIds = 16;

    private const int LeastPayloads = 32;

    /// <summary>So often each byte of a field wider than one must have changed: at the right payload each time, which is worth some bits of evidence.</summary>
    private const int LeastChanges = 8;
    private const int EnoughRank = 40;

    /// <summary>The generator x^n + 1: each byte is added as it stands, which the exclusive or says more simply.</summary>
    private const int PlainExclusiveOr = 1;

    /// <summary>Looks for the checksum of a message.</summary>
    /// <param name="samples">Its payloads.</param>
    /// <param name="counter">Its alive counter, or null: hidden data ids may depend on it.</param>
    /// <param name="counting">All fields that count, or null for none but <paramref name="counter"/>: none of them is called protection of an unknown form.</param>
    public static FoundChecksum? Find(PayloadSamples samples, CounterDefinition? counter, IEnumerable<BitField>? counting = null)
    {
        if (samples.Count < LeastPayloads)
        {
            return null;
        }

        var profile = new PayloadProfile(samples, counting ?? []);
        var rivals = new ChecksumRivals(profile);
        foreach (var field in profile.ChecksumFields(counter))
        {
            rivals.Weigh(field, Search(profile, field, counter));
        }

        return rivals.Outcome;
    }

    private static FoundChecksum? Search(PayloadProfile profile, BitField field, CounterDefinition? counter)
    {
        foreach (var coverage in profile.Coverages(field))
        {
            var fits = new List<FoundChecksum>();
            foreach (var form in Forms(profile, coverage))
            {
                if (Fit(profile, form, coverage) is { } fit)
                {
                    fits.Add(fit);
                }
            }

            if (fits.Count == 0 && counter is not null && field.Length == 8 && coverage.To - coverage.From >= 1)
            {
                fits.AddRange(FitsWithIds(profile, coverage, counter));
            }

            // Two different forms that both fit mean that the payloads do not tell them apart: nothing is claimed.
            if (fits.Count > 0)
            {
                return fits.Count == 1 ? fits[0] : ChecksumRivals.Undecided(fits);
            }
        }

        return null;
    }

    private static IEnumerable<ChecksumForm> Forms(PayloadProfile profile, Coverage coverage)
    {
        var width = coverage.Check.Length;
        return width < 8 ? ArithmeticForm.All(width) : ArithmeticForm.All(width).Concat<ChecksumForm>(CrcForms(profile, coverage, width == 8 ? [0, 1, 2] : [0, 2], group: null));
    }

    private static IEnumerable<CrcForm> CrcForms(PayloadProfile profile, Coverage coverage, int[] tails, Func<int, int>? group)
    {
        foreach (var reflected in (bool[])[false, true])
        {
            foreach (var tail in tails)
            {
                if (GeneratorPolynomial.Find(profile.Samples, coverage, reflected, tail, group) is { } polynomial and not PlainExclusiveOr)
                {
                    yield return new CrcForm(coverage.Check.Length, polynomial, reflected, tail);
                }
            }
        }
    }

    private static FoundChecksum? Fit(PayloadProfile profile, ChecksumForm form, Coverage coverage) => Holds(profile.Samples, form, coverage) is var (constant, wrong) && IsProvenWhole(profile.Samples, form, coverage, constant)
        ? Claim(profile, coverage, form.HypothesisBits - form.Bonus(constant), form.Define(coverage, constant), wrong, group: null, isPlain: form.Bonus(constant) > 0)
        : null;

    /// <summary>What a form leaves over, the same for nearly all payloads, and for how many it does not; null where it does not fit.</summary>
    internal static (int Constant, int Wrong)? Holds(PayloadSamples samples, ChecksumForm form, Coverage coverage)
    {
        var residual = Majority(
            form.Residual(samples[0], coverage, FieldReader.Read(samples[0], coverage.Check)),
            form.Residual(samples[samples.Count / 2], coverage, FieldReader.Read(samples[samples.Count / 2], coverage.Check)),
            form.Residual(samples[samples.Count - 1], coverage, FieldReader.Read(samples[samples.Count - 1], coverage.Check)));
        if (residual is not { } constant)
        {
            return null;
        }

        var allowed = (int)(samples.Count * (1 - LeastShare));
        var wrong = 0;
        for (var i = 0; i < samples.Count; i++)
        {
            if (form.Residual(samples[i], coverage, FieldReader.Read(samples[i], coverage.Check)) != constant && ++wrong > allowed)
            {
                return null;
            }
        }

        return (constant, wrong);
    }

    // The low byte of a sum of 16 bits is a sum of 8 bits, whatever stands in the other: that must have changed as well where the form holds.
    private static bool IsProvenWhole(PayloadSamples samples, ChecksumForm form, Coverage coverage, int constant)
    {
        if (coverage.Check.Length <= 8)
        {
            return true;
        }

        var (front, back, last) = (0, 0, -1);
        for (var i = 0; i < samples.Count && Math.Min(front, back) < LeastChanges; i++)
        {
            if (form.Residual(samples[i], coverage, FieldReader.Read(samples[i], coverage.Check)) != constant)
            {
                continue;
            }

            if (last >= 0)
            {
                front += samples[i][coverage.Check.FirstByte] != samples[last][coverage.Check.FirstByte] ? 1 : 0;
                back += samples[i][coverage.Check.LastByte] != samples[last][coverage.Check.LastByte] ? 1 : 0;
            }

            last = i;
        }

        return Math.Min(front, back) >= LeastChanges;
    }

    private static IEnumerable<FoundChecksum> FitsWithIds(PayloadProfile profile, Coverage coverage, CounterDefinition counter)
    {
        if (counter.Modulo > MostIds)
        {
            yield break;
        }

        var samples = profile.Samples;
        int Group(int i) => FieldReader.Read(samples[i], counter.Field);
        foreach (var idFirst in (bool[])[false, true])
        {
            foreach (var form in CrcForms(profile, coverage, [idFirst ? 0 : 1], Group))
            {
                var residuals = new int[counter.Modulo];
                Array.Fill(residuals, -1);
                var wrong = 0;
                for (var i = 0; i < samples.Count && wrong == 0; i++)
                {
                    var residual = form.Residual(samples[i], coverage, FieldReader.Read(samples[i], coverage.Check));
                    ref var known = ref residuals[Group(i)];
                    wrong += known >= 0 && known != residual ? 1 : 0;
                    known = residual;
                }

                if (wrong == 0 && Array.TrueForAll(residuals, r => r >= 0)
                    && Claim(profile, coverage, form.HypothesisBits + 1, form.DefineWithIds(coverage, residuals, idFirst), wrong, Group, isPlain: false) is { Definition: { } definition } claim)
                {
                    // A definition file lists sixteen, also for a counter that leaves values out.
                    yield return claim with { Definition = definition with { DataIds = [.. definition.DataIds, .. new ulong[MostIds - counter.Modulo]] } };
                }
            }
        }
    }

    private static FoundChecksum? Claim(PayloadProfile profile, Coverage coverage, double hypothesisBits, ChecksumDefinition definition, int wrong, Func<int, int>? group, bool isPlain)
    {
        var samples = profile.Samples;
        if (profile.VaryingBytes(coverage.Bytes(samples.Length)) < 2)
        {
            return null;
        }

        // A copy of other bits is what it is, and would be one with any checksum that lets the copies cancel.
        if (profile.IsCopy(coverage.Check, wrong))
        {
            return null;
        }

        // Each independent difference confirms once all bits of the field that ever changed; the field's place and the coverage were chosen as well, and so
        // was which payloads are damaged: a form that fails where some seldom bit turns is not the sender's.
        var rank = PayloadVariety.Rank(samples, coverage, group, EnoughRank);
        var chosen = hypothesisBits + Math.Log2(samples.Length * 4) + Math.Log2(profile.CoverageCount) + (wrong * Math.Log2(samples.Count));
        var evidence = (rank * profile.ChangedBits(coverage.Check)) - chosen;

        // Bits that stood still are no evidence, but a plain form that explains their values without a constant of its own may be claimed, with what is sure of it.
        var still = isPlain ? rank * (coverage.Check.Length - profile.ChangedBits(coverage.Check)) : 0;
        return evidence + still < LeastEvidenceBits || rank < LeastRank ? null : new FoundChecksum(definition, samples.Count - wrong, samples.Count, evidence, null);
    }

    private static int? Majority(int a, int b, int c) => a == b || a == c ? a : b == c ? b : null;
}
