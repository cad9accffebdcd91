using System.Text;
using BusScope.Cli.Options;
using BusScope.Cli.Sources;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Against;
using BusScope.Reports.Pages;

namespace BusScope.Cli.Commands;

/// <summary>The page that <c>check --report</c> writes: where to, and by what its captures and definitions can be known again.</summary>
/// <param name="file">Where to.</param>
/// <param name="sources">The sources as named.</param>
/// <param name="definitions">The definitions.</param>
internal sealed class CheckReport(ReportFile file, IReadOnlyList<SourceName> sources, LoadedDefinitions definitions)
{
    // Before the check: they were read before it.
    private readonly IReadOnlyList<FileIdentity> texts = [.. definitions.Texts.Select(text => definitions.AreBuiltIn
        ? FileIdentity.OfBytes("definitions, built in", text.FileName, Encoding.UTF8.GetBytes(text.Text))
        : FileIdentity.OfFile("definitions", text.FileName))];

    /// <summary>Writes the page.</summary>
    public void Write(ProgramConsole console, RunSubject subject, HealthReport health, CheckChange? change)
    {
        FileIdentity[] earlier = change is null ? [] : [FileIdentity.OfFile("earlier result", change.Earlier.Name)];
        var page = new PageSubject(subject, console.Time.GetLocalNow(), ProgramVersion.Text) { Files = [.. sources.Select(IdentityOf), .. texts, .. earlier], Change = change };
        file.Write(output => CheckPage.Write(output, page, health));
        console.Say($"report: {file.Path}");
    }

    private static FileIdentity IdentityOf(SourceName source) =>
        source.IsStandardInput ? new FileIdentity("stream", "standard input") { Remark = "a stream leaves nothing to compare with" }
        : source.Story is not null ? new FileIdentity("simulation", source.Where) { Remark = "told anew by the program, always the same" }
        : File.Exists(source.Where) ? FileIdentity.OfFile("capture", source.Where)
        : new FileIdentity("adapter", source.Where) { Remark = "a live bus leaves nothing to compare with" };
}
