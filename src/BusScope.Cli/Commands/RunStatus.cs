using BusScope.Frames.Diagnostics;
using BusScope.Session;

namespace BusScope.Cli.Commands;

/// <summary>The status of a run that did not come to its end.</summary>
internal static class RunStatus
{
    /// <summary>Says on standard error why the run ended early.</summary>
    /// <returns>The status, or null where the run came to its end.</returns>
    public static int? Of(RunResult result, ProgramConsole console)
    {
        switch (result.End)
        {
            case RunEnd.SourceFailed:
                console.Output.Flush();
                console.Say($"busscope: {CleanText.Clean(result.Failure ?? "the source failed")}");
                return ExitStatus.SourceFailed;
            case RunEnd.Cancelled:
                return ExitStatus.Interrupted;
            default:
                return null;
        }
    }
}
