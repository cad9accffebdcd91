using System.CommandLine;
using BusScope.Cli.Sources;

namespace BusScope.Cli.Options;

/// <summary><c>--report</c>: the result as a page to be handed over.</summary>
internal sealed class ReportOption
{
    private readonly Option<string?> report = new("--report")
    {
        Description = "Write a report to be opened, printed and handed over: one HTML file",
        HelpName = "FILE",
    };

    private readonly Option<bool> force = new("--force") { Description = "Overwrite the report if it is there" };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        command.Options.Add(report);
        command.Options.Add(force);
    }

    /// <summary>Makes sure, before the work begins, that the report can be written; null where none was asked for.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="sources">The sources as named.</param>
    /// <param name="others">Further files that are read.</param>
    /// <exception cref="UsageException">There is a file of this name already.</exception>
    /// <exception cref="IOException">It cannot be written there.</exception>
    public ReportFile? Reserve(ParseResult parsed, IReadOnlyList<SourceName> sources, IEnumerable<string> others)
    {
        if (parsed.GetValue(report) is not { } path)
        {
            return null;
        }

        OutputGuard.Refuse(path, sources, others, "report");
        return File.Exists(path) && !parsed.GetValue(force)
            ? throw new UsageException($"{path}: is there already; --force overwrites it")
            : new ReportFile(path);
    }
}
