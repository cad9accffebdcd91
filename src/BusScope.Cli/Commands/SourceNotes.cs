using BusScope.Frames;
using BusScope.Reports;

namespace BusScope.Cli.Commands;

/// <summary>What was wrong with a source, on standard error, for the commands whose result has no place for it.</summary>
internal static class SourceNotes
{
    /// <summary>Says it.</summary>
    public static void Tell(IFrameSource source, ProgramConsole console)
    {
        if (source.Problems.All.Count > 0)
        {
            console.Say("Problems of the source");
            ProblemList.Write(console.Error, source.Problems.All, margin: 2);
        }
    }
}
