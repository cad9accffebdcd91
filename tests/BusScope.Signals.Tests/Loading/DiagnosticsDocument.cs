using System.Text.RegularExpressions;
using BusScope.TestKit;

namespace BusScope.Signals.Tests.Loading;

/// <summary>docs/diagnostics.md, taken apart: its examples are the inputs of the tests, so that none can go stale.</summary>
internal static partial class DiagnosticsDocument
{
    public sealed record Part(string Code, string Severity, string Meaning, string Example);

    public static IReadOnlyList<Part> Parts { get; } = Read();

    private static List<Part> Read()
    {
        var text = File.ReadAllText(RepoFiles.Path("docs", "diagnostics.md"));
        return [.. PartPattern().Matches(text).Select(match => new Part(
            match.Groups["code"].Value,
            match.Groups["severity"].Value,
            match.Groups["meaning"].Value,
            ExamplePattern().Match(match.Groups["rest"].Value).Groups["yaml"].Value))];
    }

    [GeneratedRegex(@"^### (?<code>[a-z0-9-]+)\n\n\*\*(?<severity>\w+)\.\*\* (?<meaning>.*)\.\n(?<rest>(?:(?!^##).*\n)*)", RegexOptions.Multiline)]
    private static partial Regex PartPattern();

    [GeneratedRegex(@"^```yaml\n(?<yaml>(?:(?!^```).*\n)*)", RegexOptions.Multiline)]
    private static partial Regex ExamplePattern();
}
