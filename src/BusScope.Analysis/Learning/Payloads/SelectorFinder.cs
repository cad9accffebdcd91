using System.Numerics;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Payloads;

/// <summary>A field whose value selects one of several layouts of the rest.</summary>
/// <param name="Field">A byte or half a byte.</param>
/// <param name="Values">The values seen, in order.</param>
public sealed record FoundSelector(BitField Field, IReadOnlyList<int> Values);

/// <summary>
/// Finds multiplexed payloads. Where a field selects the layout, two frames with the same value in it are alike, and two neighbours with
/// different values are not, although they are nearer in time. A counter does the opposite: the rest of the payload knows nothing of it.
/// </summary>
public static class SelectorFinder
{
    private const int LeastPayloads = 64;
    private const int LeastOfEach = 6;
    private const int MostValues = 64;

    /// <summary>The selector must change in this part of the frames, or neighbours say nothing.</summary>
    private const double LeastChanges = 0.6;

    /// <summary>Frames of the same value differ in at most this part of the bits in which neighbours of different values do.</summary>
    private const double LargestRatio = 0.55;

    /// <summary>Neighbours of different values differ in at least so many bits of the rest.</summary>
    private const double LeastDistance = 3;

    /// <summary>Pages go round: from each value on, so many of the steps lead to the same next one.</summary>
    private const double LeastOrder = 0.8;

    /// <summary>Two fields that explain about as much: the one with fewer values is the selector.</summary>
    private const double AboutAsMuch = 1.25;

    /// <summary>Looks for the selector of a message.</summary>
    /// <param name="samples">Its payloads.</param>
    /// <param name="counters">Fields that count, which are no part of a layout; a page that goes round is both counter and selector.</param>
    /// <param name="checksum">The field of its checksum, or null.</param>
    public static FoundSelector? Find(PayloadSamples samples, IReadOnlyList<BitField> counters, BitField? checksum)
    {
        ArgumentNullException.ThrowIfNull(samples);
        if (samples.Count < LeastPayloads)
        {
            return null;
        }

        var mask = Enumerable.Repeat((byte)0xFF, samples.Length).ToArray();
        foreach (var field in checksum is { } check ? counters.Append(check) : counters)
        {
            Clear(mask, field);
        }

        var fits = Fields(samples.Length)
            .Where(field => checksum?.Overlaps(field) != true)
            .Select(field => (Field: field, Fit: Ratio(samples, field, mask)))
            .Where(each => each.Fit is not null)
            .Select(each => (each.Field, each.Fit!.Value.Ratio, each.Fit.Value.Values))
            .ToList();
        if (fits.Count == 0)
        {
            return null;
        }

        var least = fits.Min(each => each.Ratio);
        var best = fits.Where(each => each.Ratio <= Math.Max(least * AboutAsMuch, least + 0.05))
            .OrderBy(each => each.Values.Count).ThenByDescending(each => each.Field.Length).ThenBy(each => each.Field.FirstByte).First();
        return new FoundSelector(best.Field, best.Values);
    }

    private static IEnumerable<BitField> Fields(int bytes) => Enumerable.Range(0, bytes).SelectMany(b => (BitField[])
        [new(new BitPosition(b, 0), 8, ByteOrder.Little), new(new BitPosition(b, 4), 4, ByteOrder.Little), new(new BitPosition(b, 0), 4, ByteOrder.Little)]);

    private static (double Ratio, IReadOnlyList<int> Values)? Ratio(PayloadSamples samples, BitField selector, byte[] mask)
    {
        var rest = mask.ToArray();
        Clear(rest, selector);
        var latest = new Dictionary<int, int>();
        var counts = new SortedDictionary<int, int>();
        var steps = new Dictionary<(int From, int To), int>();
        long changes = 0, apart = 0, alike = 0, pairs = 0;
        for (var i = 0; i < samples.Count; i++)
        {
            var value = FieldReader.Read(samples[i], selector);
            if (i > 0 && samples.FollowsPrevious(i) && FieldReader.Read(samples[i - 1], selector) != value)
            {
                changes++;
                apart += Distance(samples[i], samples[i - 1], rest);
                var step = (FieldReader.Read(samples[i - 1], selector), value);
                steps[step] = steps.GetValueOrDefault(step) + 1;
            }

            if (latest.TryGetValue(value, out var before))
            {
                pairs++;
                alike += Distance(samples[i], samples[before], rest);
            }

            latest[value] = i;
            counts[value] = counts.GetValueOrDefault(value) + 1;
            if (counts.Count > MostValues)
            {
                return null;
            }
        }

        if (counts.Count < 2 || counts.Values.Min() < LeastOfEach || changes < LeastChanges * samples.Count || apart < LeastDistance * changes)
        {
            return null;
        }

        if (steps.GroupBy(step => step.Key.From).Sum(from => from.Max(step => step.Value)) < LeastOrder * changes)
        {
            return null;
        }

        var ratio = alike / (double)pairs / (apart / (double)changes);
        return ratio <= LargestRatio ? (ratio, [.. counts.Keys]) : null;
    }

    private static int Distance(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b, byte[] mask)
    {
        var bits = 0;
        for (var i = 0; i < mask.Length; i++)
        {
            bits += BitOperations.PopCount((uint)((a[i] ^ b[i]) & mask[i]));
        }

        return bits;
    }

    private static void Clear(byte[] mask, BitField field)
    {
        for (var i = 0; i < field.Length; i++)
        {
            var at = field.At(i);
            mask[at.Byte] &= (byte)~(1 << at.Bit);
        }
    }
}
