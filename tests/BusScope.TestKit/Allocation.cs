namespace BusScope.TestKit;

/// <summary>
/// What a piece of work allocates each time it is done. The least of several runs counts: the runtime compiles methods anew when they
/// are used much, and a collection that another test causes leaves up to 8 KB of the thread's allocation context in the count; both
/// come now and then. What the work itself allocates is in every run.
/// </summary>
public static class Allocation
{
    private const int Runs = 8;

    /// <summary>Bytes that a run of the work allocates on the calling thread.</summary>
    /// <param name="work">Done once before, and then up to eight times.</param>
    /// <param name="prepare">Done before each run, and not counted; or null.</param>
    public static long Of(Action work, Action? prepare = null)
    {
        ArgumentNullException.ThrowIfNull(work);
        prepare?.Invoke();
        work();
        var least = long.MaxValue;
        for (var run = 0; run < Runs && least > 0; run++)
        {
            prepare?.Invoke();
            var before = GC.GetAllocatedBytesForCurrentThread();
            work();
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        return least;
    }
}
