namespace BusScope.Analysis.Learning.Payloads;

/// <summary>
/// Payloads of one identifier and one length, kept for study: all of them while few, then whole runs of consecutive frames
/// spread over the capture, so that both what follows what and how much variety there is can be seen in bounded memory. Which run of each
/// stretch of the capture is kept, and where it begins, is drawn by lot (<see cref="RunLot"/>): nothing that repeats keeps step with that.
/// </summary>
public sealed class PayloadSamples
{
    /// <summary>Consecutive frames that are kept or dropped together.</summary>
    public const int Run = 64;

    private const int MostRuns = 64;

    private readonly List<KeptRun> runs = [];
    private readonly byte[] current;
    private long seenRuns;
    private long currentFirst;
    private int inCurrent;
    private int toSkip;
    private long stride = 1;

    /// <summary>No payload yet.</summary>
    /// <param name="length">Bytes of each payload, 0 to 64.</param>
    public PayloadSamples(int length)
    {
        Length = length;
        current = new byte[Run * length];
    }

    /// <summary>Bytes of each payload.</summary>
    public int Length { get; }

    /// <summary>Payloads kept.</summary>
    public int Count => (runs.Count * Run) + inCurrent;

    /// <summary>Payloads seen.</summary>
    public long Seen { get; private set; }

    /// <summary>Takes in the next payload.</summary>
    public void Add(ReadOnlySpan<byte> payload)
    {
        Seen++;
        if (toSkip > 0)
        {
            toSkip--;
            return;
        }

        currentFirst = inCurrent == 0 ? Seen - 1 : currentFirst;
        payload[..Length].CopyTo(current.AsSpan(inCurrent * Length));
        if (++inCurrent == Run)
        {
            inCurrent = 0;
            Close();
        }
    }

    /// <summary>A kept payload.</summary>
    public ReadOnlySpan<byte> this[int index] => index / Run < runs.Count
        ? runs[index / Run].Payloads.AsSpan(index % Run * Length, Length)
        : current.AsSpan((index - (runs.Count * Run)) * Length, Length);

    /// <summary>Whether this payload came right after the one before it in the list.</summary>
    public bool FollowsPrevious(int index) => index % Run != 0 || (index > 0 && NumberOf(index) == NumberOf(index - 1) + 1);

    /// <summary>Which of all payloads that were seen this one is, from 0.</summary>
    public long NumberOf(int index) => (index / Run < runs.Count ? runs[index / Run].First : currentFirst) + (index % Run);

    private void Close()
    {
        var lot = RunLot.Of(seenRuns);
        if (seenRuns++ % stride != 0)
        {
            // One run of each stretch of the capture is kept, that of the lowest lot.
            if (lot < runs[^1].Lot)
            {
                runs[^1] = Keep(lot, runs[^1].Payloads);
            }
        }
        else
        {
            if (runs.Count == MostRuns)
            {
                Halve();
            }

            runs.Add(Keep(lot, new byte[current.Length]));
        }

        // While all runs are kept there is nothing to skip; afterwards runs that followed each other would begin at multiples of their length.
        toSkip = stride > 1 ? RunLot.Skip(lot, Run) : 0;
    }

    /// <summary>Of two neighbouring stretches one is made: the rest still spans the whole capture.</summary>
    private void Halve()
    {
        for (var i = 0; i < MostRuns / 2; i++)
        {
            runs[i] = runs[2 * i].Lot < runs[(2 * i) + 1].Lot ? runs[2 * i] : runs[(2 * i) + 1];
        }

        runs.RemoveRange(MostRuns / 2, MostRuns / 2);
        stride *= 2;
    }

    private KeptRun Keep(ulong lot, byte[] room)
    {
        current.CopyTo(room, 0);
        return new KeptRun(lot, currentFirst, room);
    }

    /// <summary>A run.</summary>
    /// <param name="Lot">Of two runs the one with the lower lot stays.</param>
    /// <param name="First">The number of its first payload among all that were seen.</param>
    /// <param name="Payloads">Its payloads, one behind the other.</param>
    private readonly record struct KeptRun(ulong Lot, long First, byte[] Payloads);
}
