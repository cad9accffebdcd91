using System.Text.RegularExpressions;
using BusScope.TestKit;
using BusScope.Transport.Audit;
using BusScope.Transport.Tables;
using Xunit;

namespace BusScope.Transport.Tests;

public partial class DocumentTests
{
    [Fact]
    public void Every_problem_of_frames_and_tables_is_in_the_document_and_no_other() =>
        Assert.Equal(
            AuditProblems.All.Concat(TableProblems.All).Select(k => k.Code).Order(StringComparer.Ordinal),
            FirstCells("captures-problems.md").Order(StringComparer.Ordinal));

    [Fact]
    public void Every_key_of_a_profile_is_in_the_document_and_no_other() =>
        Assert.Equal(TextTableProfileReader.Keys.Order(StringComparer.Ordinal), FirstCells("captures-text-tables.md").Order(StringComparer.Ordinal));

    [Theory]
    [InlineData("yaml-malformed", "columns: [")]
    [InlineData("not-a-mapping", "columns: 7")]
    [InlineData("not-a-text", "separator: [a, b]")]
    [InlineData("unknown-key", "colums: { id: 1 }")]
    [InlineData("value-unknown", "id: { base: octal }")]
    [InlineData("not-a-number", "skip-lines: many")]
    [InlineData("separator-unknown", "separator: two marks")]
    [InlineData("pattern-invalid", "line: '(?<time>[0-9'")]
    [InlineData("pattern-incomplete", "line: '(?<time>[0-9]+)'")]
    [InlineData("time-base-unknown", "time: { base: yesterday }")]
    [InlineData("period-unknown", "time: { wraps-after: a while }")]
    [InlineData("data-columns-impossible", "columns: { data: 9..3 }")]
    [InlineData("profile-too-long", null)]
    public void Each_fault_of_a_profile_is_told_by_its_code_and_explained_in_the_document(string code, string? profile)
    {
        profile ??= new string('#', 10_000_000);

        Assert.Contains(TextTableProfileReader.Parse(profile, "profile.yaml").Diagnostics, fault => fault.Code == code);
        Assert.Contains(File.ReadLines(RepoFiles.Path("docs", "captures-text-tables.md")), line => line.StartsWith($"- `{code}`: ", StringComparison.Ordinal));
    }

    [Fact]
    public void The_profiles_of_the_document_are_read_without_a_fault()
    {
        var text = File.ReadAllText(RepoFiles.Path("docs", "captures-text-tables.md"));
        var profiles = YamlBlock().Matches(text).Select(m => m.Groups[1].Value).ToList();

        Assert.Equal(2, profiles.Count);
        Assert.All(profiles, p => Assert.Empty(TextTableProfileReader.Parse(p, "profile.yaml").Diagnostics));
    }

    [Fact]
    public void Every_name_of_a_column_that_is_understood_is_in_the_document()
    {
        var text = File.ReadAllText(RepoFiles.Path("docs", "captures-text-tables.md")).Replace(" ", "", StringComparison.Ordinal);

        Assert.All(HeaderNames.Known.Keys, name => Assert.Matches($"[|,;:]{name}[|,;]", text));
    }

    private static IEnumerable<string> FirstCells(string document) =>
        File.ReadLines(RepoFiles.Path("docs", document)).Select(l => FirstCell().Match(l)).Where(m => m.Success).Select(m => m.Groups[1].Value);

    [GeneratedRegex("^\\| `([a-z.-]+)` \\|")]
    private static partial Regex FirstCell();

    [GeneratedRegex("```yaml\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex YamlBlock();
}
