namespace BusScope.Session.Replay;

/// <summary>
/// The checkpoints of a recording, in its order, in bounded memory: when there are too many of them, or too large ones, every second one
/// makes room. The beginning always stays. Added to by one thread, asked by any.
/// </summary>
/// <param name="beginning">The checkpoint before the first frame.</param>
internal sealed class CheckpointList(Checkpoint beginning)
{
    private const int Most = 256;
    private const long MostBytes = 96L * 1024 * 1024;

    private Kept[] kept = [new(beginning, 0)];

    /// <summary>How many there are.</summary>
    public int Count => Volatile.Read(ref kept).Length;

    /// <summary>Adds the next one.</summary>
    /// <param name="checkpoint">Behind all others.</param>
    /// <param name="bytes">What it takes of memory.</param>
    /// <returns>How many times the list was thinned for it.</returns>
    public int Add(Checkpoint checkpoint, long bytes)
    {
        Kept[] all = [.. kept, new(checkpoint, bytes)];
        var thinned = 0;
        while (all.Length > 2 && (all.Length > Most || all.Sum(each => each.Bytes) > MostBytes))
        {
            all = [.. all.Where((_, index) => index % 2 == 0)];
            thinned++;
        }

        Volatile.Write(ref kept, all);
        return thinned;
    }

    /// <summary>The last one that is not behind a goal.</summary>
    public Checkpoint Before(Goal goal)
    {
        var all = Volatile.Read(ref kept);
        return Array.FindLast(all, each => goal.IsAhead(each.Checkpoint.At))!.Checkpoint;
    }

    private sealed record Kept(Checkpoint Checkpoint, long Bytes);
}
