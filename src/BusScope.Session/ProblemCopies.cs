using BusScope.Frames.Diagnostics;

namespace BusScope.Session;

/// <summary>Problem figures that stand still, for another thread to read while the source goes on counting.</summary>
internal static class ProblemCopies
{
    /// <summary>A new log with the figures of all the given ones.</summary>
    public static ProblemLog Of(ReadOnlySpan<ProblemLog> logs)
    {
        var copy = new ProblemLog();
        foreach (var log in logs)
        {
            copy.Add(log);
        }

        return copy;
    }
}
