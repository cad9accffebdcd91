using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>What sample payloads show before any checksum is tried: which bytes vary, and which fields follow all the others.</summary>
internal sealed class PayloadProfile
{
    /// <summary>A field of random-looking bits stays the same by chance once in 2^width changes; twice as often is still allowed.</summary>
    private const double ChanceFactor = 2;

    /// <summary>A sum stays the same when one byte grows by what another loses; a counter beside a slow value does that now and then.</summary>
    private const double CompensationShare = 0.25;

    private const int MostCoverageBytes = 8;

    private readonly byte[] varies;
    private readonly PayloadCopies copies;
    private readonly byte[] counted;

    /// <summary>The profile of payloads.</summary>
    /// <param name="samples">The payloads.</param>
    /// <param name="counting">Fields that count: what they explain needs no other explanation.</param>
    public PayloadProfile(PayloadSamples samples, IEnumerable<BitField> counting)
    {
        counted = new byte[samples.Length];
        foreach (var at in counting.SelectMany(field => Enumerable.Range(0, field.Length).Select(field.At)))
        {
            counted[at.Byte] |= (byte)(1 << at.Bit);
        }

        Samples = samples;
        varies = new byte[samples.Length];
        copies = new PayloadCopies(samples);
        for (var i = 1; i < samples.Count; i++)
        {
            for (var b = 0; b < varies.Length; b++)
            {
                varies[b] |= (byte)(samples[i][b] ^ samples[0][b]);
            }
        }
    }

    /// <summary>The payloads.</summary>
    public PayloadSamples Samples { get; }

    /// <summary>How many byte ranges a checksum might cover, for weighing a claim.</summary>
    public int CoverageCount => Samples.Length * (Samples.Length + 1) / 2;

    /// <summary>How many bits of the field ever changed.</summary>
    public int ChangedBits(BitField field) => Enumerable.Range(0, field.Length).Select(field.At).Count(bit => ((varies[bit.Byte] >> bit.Bit) & 1) != 0);

    /// <summary>Whether the field repeats other bits, in as many payloads as a form that fails so often would explain.</summary>
    public bool IsCopy(BitField field, int wrong) => copies.Misses(field) <= wrong;

    /// <summary>How many of the chosen bytes ever change.</summary>
    public int VaryingBytes(ReadOnlySpan<bool> chosen)
    {
        var count = 0;
        for (var i = 0; i < varies.Length; i++)
        {
            count += chosen[i] && varies[i] != 0 ? 1 : 0;
        }

        return count;
    }

    /// <summary>
    /// Fields that could hold a checksum, bytes and halves before pairs of bytes, the last byte first and then the first, where
    /// senders put them: they differ whenever
    /// anything else differs, but for chance.
    /// </summary>
    public IEnumerable<BitField> ChecksumFields(CounterDefinition? counter)
    {
        var places = Enumerable.Range(0, Samples.Length).Reverse().Where(b => varies[b] != 0)
            .OrderBy(b => b == Samples.Length - 1 ? 0 : b == 0 ? 1 : 2).ToArray();
        var fields = places.SelectMany(b => (BitField[])[new(new BitPosition(b, 0), 8, ByteOrder.Little), Half(b, 4), Half(b, 0)])
            .Concat(places.Where(b => b + 1 < Samples.Length && varies[b + 1] != 0)
                .SelectMany(b => (BitField[])[new(new BitPosition(b, 7), 16, ByteOrder.Big), new(new BitPosition(b, 0), 16, ByteOrder.Little)]));
        return fields.Where(field => (counter is null || !field.Overlaps(counter.Field)) && FollowsTheRest(field));
    }

    /// <summary>The ranges that a checksum in this field might cover, the widest first.</summary>
    public IEnumerable<Coverage> Coverages(BitField field)
    {
        var last = Samples.Length - 1;
        for (var size = Samples.Length; size >= 1; size--)
        {
            for (var from = 0; from + size <= Samples.Length; from++)
            {
                var to = from + size - 1;

                // In long payloads only ranges from the start, to the end, or up to the field are tried: there are thousands of others.
                var usual = Samples.Length <= MostCoverageBytes || from == 0 || to == last || to == field.FirstByte - 1 || from == field.LastByte + 1;
                var trimmed = field.Length < 8 || (from != field.FirstByte && to != field.LastByte) || size == Samples.Length
                    || (from == 0 && to != field.LastByte) || (to == last && from != field.FirstByte);
                if (usual && trimmed)
                {
                    yield return new Coverage(from, to, field);
                }
            }
        }
    }

    /// <summary>
    /// Whether the field may be protection although no known form fits: it has no life of its own (equal payloads, equal
    /// field, seen often), takes most of its values, and changes with the smallest change elsewhere. A counter, and a value that is told twice, do all that as well, and are what they are.
    /// </summary>
    public bool MayBeProtection(BitField field)
    {
        if (field.Length != 8 || (varies[field.FirstByte] & ~counted[field.FirstByte]) == 0 || FollowsOneByte(field.FirstByte))
        {
            return false;
        }

        var values = new HashSet<int>();
        var byRest = new Dictionary<string, int>();
        var repeats = 0;
        for (var i = 0; i < Samples.Count; i++)
        {
            var row = Samples[i].ToArray();
            var check = row[field.FirstByte];
            row[field.FirstByte] = 0;
            values.Add(check);
            var rest = Convert.ToHexString(row);
            if (byRest.TryGetValue(rest, out var known))
            {
                if (known != check)
                {
                    return false;
                }

                repeats++;
            }
            else
            {
                byRest.Add(rest, check);
            }
        }

        return repeats >= 64 && byRest.Count >= 12 && values.Count >= Math.Min(byRest.Count * 3 / 4, 192);
    }

    // The second track of a sensor is a copy of the first, its complement, or shifted by a constant. What follows from a counter alone may be either.
    private bool FollowsOneByte(int check)
    {
        for (var a = 0; a < varies.Length; a++)
        {
            if (a == check || (varies[a] & ~counted[a]) == 0)
            {
                continue;
            }

            var of = new int[byte.MaxValue + 1];
            Array.Fill(of, -1);
            var i = 0;
            while (i < Samples.Count && (of[Samples[i][a]] < 0 || of[Samples[i][a]] == Samples[i][check]))
            {
                of[Samples[i][a]] = Samples[i][check];
                i++;
            }

            if (i == Samples.Count)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether the field moves whenever something else moves, and only then.</summary>
    private bool FollowsTheRest(BitField field)
    {
        int changes = 0, kept = 0, alone = 0, pairs = 0;
        for (var i = 1; i < Samples.Count; i++)
        {
            var restDiffers = RestDiffers(Samples[i - 1], Samples[i], field);
            var checkDiffers = FieldReader.Read(Samples[i - 1], field) != FieldReader.Read(Samples[i], field);
            pairs++;
            changes += restDiffers ? 1 : 0;
            kept += restDiffers && !checkDiffers ? 1 : 0;
            alone += !restDiffers && checkDiffers ? 1 : 0;
        }

        var chance = ChanceFactor / (1 << Math.Min(field.Length, 8));
        return changes >= 16 && alone * 50 <= pairs && kept <= (changes * (chance + CompensationShare)) + 2;
    }

    private static bool RestDiffers(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b, BitField field)
    {
        var check = new Coverage(0, a.Length - 1, field);
        for (var i = 0; i < a.Length; i++)
        {
            if (((a[i] ^ b[i]) & check.Mask(i)) != 0)
            {
                return true;
            }
        }

        return false;
    }

    private static BitField Half(int b, int bit) => new(new BitPosition(b, bit), 4, ByteOrder.Little);
}
