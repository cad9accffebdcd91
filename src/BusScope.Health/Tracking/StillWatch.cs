using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>Whether some bits that are meant to live do: how long they rest, and when they stood still for too long. Allocates nothing.</summary>
internal sealed class StillWatch(LivingBits bits)
{
    private Rest rest;
    private Rest worst;

    // The longest rest that was none too long, in frames.
    private long usual;

    // How long they rested before they first changed, in frames.
    private long first;

    private bool isPaused;

    /// <summary>Which bits.</summary>
    public LivingBits Bits { get; } = bits;

    /// <summary>Whether they were ever seen to change.</summary>
    public bool EverMoved { get; private set; }

    /// <summary>Of the times for which they stood still for too long, the one that goes on at the end, or else the longest; null where there was none.</summary>
    public Rest? Frozen => IsFrozen ? rest : worst.Frames > 0 ? worst : null;

    /// <summary>Whether they stand still at the end.</summary>
    public bool IsFrozen => rest.IsTooLong(usual, first);

    /// <summary>Takes in frames that follow one another.</summary>
    /// <param name="changed">For each byte of the payload the bits that changed among them, the step from the frame before included.</param>
    /// <param name="rows">The payload before them, then theirs.</param>
    /// <param name="stride">Bytes of each row.</param>
    /// <param name="times">Their times in nanoseconds.</param>
    /// <param name="numbers">Their numbers in the session; empty where nobody asked.</param>
    public void Note(ReadOnlySpan<byte> changed, ReadOnlySpan<byte> rows, int stride, ReadOnlySpan<long> times, ReadOnlySpan<long> numbers)
    {
        if (rest.Frames == 0)
        {
            rest = rest with { From = new FrameTime(times[0]), Number = NumberOf(numbers, 0) };
        }
        else if (isPaused)
        {
            rest = rest with { Paused = rest.Paused + (new FrameTime(times[0]) - rest.Until) };
        }

        isPaused = false;
        if (!Touches(changed))
        {
            Extend(times.Length, times, numbers, times.Length - 1);
            return;
        }

        var next = 0;
        while (!Differs(rows, stride, next))
        {
            next++;
        }

        var last = times.Length - 1;
        while (!Differs(rows, stride, last))
        {
            last--;
        }

        if (next > 0)
        {
            Extend(next, times, numbers, next - 1);
        }

        Moved();
        rest = new Rest(new FrameTime(times[last]), new FrameTime(times[^1]), times.Length - last, NumberOf(numbers, last), NumberOf(numbers, times.Length - 1));
    }

    /// <summary>
    /// What comes next does not follow on what came before. A rest goes on over that: only bits that are seen to change from one frame to the
    /// next prove that their sender lives.
    /// </summary>
    public void Break() => isPaused = true;

    /// <summary>The same watch, which goes on by itself.</summary>
    public StillWatch Copy() => (StillWatch)MemberwiseClone();

    private void Extend(int frames, ReadOnlySpan<long> times, ReadOnlySpan<long> numbers, int row) =>
        rest = rest with { Frames = rest.Frames + frames, Until = new FrameTime(times[row]), UntilNumber = NumberOf(numbers, row) };

    private void Moved()
    {
        if (!EverMoved)
        {
            // What came to life only now may rest for as long again.
            EverMoved = true;
            worst = default;
            first = rest.Frames;
        }
        else if (rest.IsTooLong(usual, first))
        {
            worst = rest.Frames > worst.Frames ? rest : worst;
        }
        else
        {
            usual = Math.Max(usual, rest.Frames);
        }
    }

    private bool Touches(ReadOnlySpan<byte> changed)
    {
        var mask = Bits.Mask;
        for (var i = 0; i < mask.Length; i++)
        {
            if ((changed[Bits.FirstByte + i] & mask[i]) != 0)
            {
                return true;
            }
        }

        return false;
    }

    // The row before a frame stands where its number says, since the payload before them all comes first.
    private bool Differs(ReadOnlySpan<byte> rows, int stride, int frame)
    {
        var mask = Bits.Mask;
        var before = rows.Slice((frame * stride) + Bits.FirstByte, mask.Length);
        var now = rows.Slice(((frame + 1) * stride) + Bits.FirstByte, mask.Length);
        for (var i = 0; i < mask.Length; i++)
        {
            if (((before[i] ^ now[i]) & mask[i]) != 0)
            {
                return true;
            }
        }

        return false;
    }

    private static long NumberOf(ReadOnlySpan<long> numbers, int row) => numbers.IsEmpty ? 0 : numbers[row];
}
