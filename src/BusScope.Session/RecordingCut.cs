using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport;
using BusScope.Transport.Adapters;

namespace BusScope.Session;

/// <summary>
/// Whether a recording ended in the middle of something, or an adapter did not see everything. What was not seen cannot be vouched for,
/// so nothing that is concluded from it may be GO.
/// </summary>
internal static class RecordingCut
{
    private static readonly ProblemKind[] kinds =
        [CaptureProblems.CutShort, CaptureProblems.Damaged, CaptureProblems.CompressionCutShort, CaptureProblems.CompressionDamaged,
            AdapterProblems.Lost, AdapterProblems.Overrun, AdapterProblems.Down, AdapterProblems.Gone, MergedSource.SourceFailed];

    private static readonly ProblemKind[] insides = [CaptureProblems.CutShort, CaptureProblems.CompressionCutShort];

    /// <summary>
    /// Whether it ended inside a record. Where frames came as they happened, the link to them had stalled before it broke: that nothing came
    /// meanwhile says nothing of the car. What had stopped before has stopped.
    /// </summary>
    public static bool IsInside(IFrameSource source) => source.Problems.All.Any(problem => insides.Contains(problem.Kind));

    /// <summary>What cut it, in one sentence; null where it is whole, as far as it was read.</summary>
    public static string? Of(IFrameSource source) =>
        source.Problems.All.FirstOrDefault(problem => kinds.Contains(problem.Kind))?.Kind.Meaning;
}
