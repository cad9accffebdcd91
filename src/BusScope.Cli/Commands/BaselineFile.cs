using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Writing;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading;

namespace BusScope.Cli.Commands;

/// <summary>
/// The definition file that <c>learn</c> writes. One that is there is read before the captures are, so that what is wrong with it is told at once;
/// it is kept and added to, never replaced unless asked.
/// </summary>
internal sealed class BaselineFile
{
    private readonly SourceText? before;

    /// <summary>Looks at what is there.</summary>
    /// <param name="path">The file.</param>
    /// <param name="anew">Whether it is to be written anew.</param>
    /// <param name="console">Where faults of the file are told.</param>
    /// <exception cref="UsageException">What is there is no definition file without errors.</exception>
    public BaselineFile(string path, bool anew, ProgramConsole console)
    {
        Path = path;
        if (Directory.Exists(path))
        {
            throw new UsageException($"{path}: is a folder; name a file in it");
        }

        if (anew || !File.Exists(path))
        {
            return;
        }

        var result = DefinitionLoader.Load([path]);
        if (result.Definitions is null)
        {
            console.Error.Write(DiagnosticText.Render(result.Diagnostics.Where(fault => fault.Severity == Severity.Error), result.Sources));
            throw new UsageException($"{path}: is there already, and not as a definition file that could be added to; --force writes it anew");
        }

        before = result.Sources[0];
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>Writes what was learned, whole or not at all.</summary>
    /// <returns>What became of the file that was there, or null where none was.</returns>
    public BaselineMergeResult? Write(Baseline baseline)
    {
        if (before is not null)
        {
            var merge = BaselineMerge.Into(before, baseline) ?? throw new UsageException($"{Path}: is written in a way that nothing can be added to; learn into a new file");
            WholeFile.Write(Path, merge.Text);
            return merge;
        }

        using var text = new StringWriter();
        BaselineText.Write(baseline, text);
        WholeFile.Write(Path, text.ToString());
        return null;
    }
}
