namespace BusScope.Analysis.Learning.Payloads;

/// <summary>
/// Payloads of one identifier and one length, kept for study: all of them while few, then whole runs of consecutive frames
/// spread evenly over the capture, so that both what follows what and how much variety there is can be seen in bounded memory.
/// </summary>
public sealed class PayloadSamples
{
    /// <summary>Consecutive frames that are kept or dropped together.</summary>
    public const int Run = 64;

    private const int MostRuns = 64;

    private readonly List<byte[]> runs = [];
    private readonly byte[] current;
    private long seenRuns;
    private int inCurrent;
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

    /// <summary>Takes in the next payload.</summary>
    public void Add(ReadOnlySpan<byte> payload)
    {
        payload[..Length].CopyTo(current.AsSpan(inCurrent * Length));
        if (++inCurrent < Run)
        {
            return;
        }

        inCurrent = 0;
        if (seenRuns++ % stride != 0)
        {
            return;
        }

        if (runs.Count == MostRuns)
        {
            // Every second run goes, and from now on only every second one is kept: the rest still spans the whole capture.
            for (var i = 1; i < runs.Count; i++)
            {
                runs.RemoveAt(i);
            }

            stride *= 2;
        }

        runs.Add(current.ToArray());
    }

    /// <summary>A kept payload.</summary>
    public ReadOnlySpan<byte> this[int index] => index / Run < runs.Count
        ? runs[index / Run].AsSpan(index % Run * Length, Length)
        : current.AsSpan((index - (runs.Count * Run)) * Length, Length);

    /// <summary>Whether this payload came right after the one before it in the list.</summary>
    public bool FollowsPrevious(int index) => index % Run != 0 || (index > 0 && stride == 1);
}
