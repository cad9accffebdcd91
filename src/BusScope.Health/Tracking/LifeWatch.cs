using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Whether what is meant to live in a message does. A frame is compared with the one before it, 32 of them at once: only where bits
/// changed at all is it looked up in which frame. Allocates nothing once it stands.
/// </summary>
internal sealed class LifeWatch
{
    // Rests shorter than this are not seen where they lie within one step; none of them is too long.
    private const int Step = 32;

    private StillWatch[] watches;
    private byte[] changed = new byte[Payload.Capacity];

    // The payload before, then those of one step.
    private byte[] rows = new byte[(Step + 1) * Payload.Capacity];
    private int stride;

    /// <summary>A watch that has seen nothing.</summary>
    public LifeWatch(IReadOnlyList<LivingBits> living) => watches = [.. living.Select(bits => new StillWatch(bits))];

    /// <summary>One for each part of the plan.</summary>
    public IReadOnlyList<StillWatch> Watches => watches;

    /// <summary>What watches all that the message's <c>lives</c> marks, or null where it marks nothing.</summary>
    public StillWatch? WholePayload => Array.Find(watches, watch => watch.Bits.Signal < 0);

    /// <summary>The latest payload that was watched: what came while nothing was expected is not.</summary>
    /// <param name="length">How many bytes it has.</param>
    public ReadOnlySpan<byte> Latest(byte length) => rows.AsSpan(0, length);

    /// <summary>Takes in frames that follow on those before.</summary>
    public void Add(MessageBlock block)
    {
        if (stride != block.Stride)
        {
            Break();
            stride = block.Stride;
            block.Rows[..stride].CopyTo(rows);
        }

        for (var row = 0; row < block.Count; row += Step)
        {
            var count = Math.Min(Step, block.Count - row);
            block.Rows.Slice(row * stride, count * stride).CopyTo(rows.AsSpan(stride));
            Compare(count);
            var numbers = block.Numbers.IsEmpty ? default : block.Numbers.Slice(row, count);
            foreach (var watch in watches)
            {
                watch.Note(changed, rows.AsSpan(0, (count + 1) * stride), stride, block.Times.Slice(row, count), numbers);
            }

            rows.AsSpan(count * stride, stride).CopyTo(rows);
        }
    }

    /// <summary>What comes next does not follow on what came before: time was set back, nothing was expected, or the bus was silent.</summary>
    public void Break()
    {
        stride = 0;
        foreach (var watch in watches)
        {
            watch.Break();
        }
    }

    /// <summary>The same watch, which goes on by itself.</summary>
    public LifeWatch Copy()
    {
        var copy = (LifeWatch)MemberwiseClone();
        copy.watches = Array.ConvertAll(watches, watch => watch.Copy());
        copy.changed = [.. changed];
        copy.rows = [.. rows];
        return copy;
    }

    private void Compare(int count)
    {
        var words = MemoryMarshal.Cast<byte, ulong>(rows.AsSpan(0, (count + 1) * stride));
        var differing = MemoryMarshal.Cast<byte, ulong>(changed.AsSpan());
        var width = stride / sizeof(ulong);
        for (var word = 0; word < width; word++)
        {
            var all = 0UL;
            for (var at = word + width; at < words.Length; at += width)
            {
                all |= words[at] ^ words[at - width];
            }

            differing[word] = all;
        }
    }
}
