using System.Text.Json;
using System.Text.RegularExpressions;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

/// <summary>Loader, schema and document say the same of every key.</summary>
public sealed partial class DefinitionDocumentTests
{
    private static readonly string document = File.ReadAllText(RepoFiles.Path("docs", "signal-definitions.md"));
    private static readonly JsonElement schema = JsonDocument.Parse(File.ReadAllText(RepoFiles.Path("docs", "definition-file.schema.json"))).RootElement;

    [Fact]
    public void The_document_has_the_tables_of_keys_in_their_order()
    {
        var documented = TablePattern().Matches(document).Select(table => table.Groups["rows"].Value.TrimEnd());

        var expected = DefinitionKeys.All.Select(table => string.Join('\n', table.Keys.Select(key => $"| `{key.Name}`{(key.IsNeeded ? " (needed)" : "")} | {key.Accepts} | {key.Meaning} |")));
        Assert.Equal(expected, documented);
    }

    [Fact]
    public void The_document_lists_the_checksum_algorithms_with_their_parameters()
    {
        var documented = AlgorithmPattern().Matches(document).Select(row => (row.Groups["name"].Value, row.Groups["how"].Value));

        var expected = ChecksumCatalogue.All.Select(algorithm => (algorithm.Name, algorithm.Crc is { } crc
            ? $"polynomial {Hex(crc.Polynomial, crc.Width)}, start {Hex(crc.Start, crc.Width)}, final {Hex(crc.Final, crc.Width)}{(crc.Reflected ? ", reflected" : "")}"
            : null));
        Assert.Equal(expected.Select(each => each.Name), documented.Select(each => each.Item1));
        Assert.All(expected.Zip(documented), pair => Assert.True(pair.First.Item2 is null || pair.First.Item2 == pair.Second.Item2, pair.First.Name));
    }

    [Theory]
    [MemberData(nameof(Tables))]
    public void The_schema_has_the_keys_of_the_loader_with_their_meanings(string name)
    {
        var table = DefinitionKeys.All.Single(table => table.Name == name);

        var part = name == "file" ? schema : schema.GetProperty("$defs").GetProperty(name.Replace(' ', '-'));

        Assert.Equal(table.Keys.Select(key => (key.Name, key.Meaning)), part.GetProperty("properties").EnumerateObject().Select(key => (key.Name, key.Value.GetProperty("description").GetString()!)));
        Assert.Equal(table.Keys.Where(key => key.IsNeeded).Select(key => key.Name), part.TryGetProperty("required", out var required) ? required.EnumerateArray().Select(key => key.GetString()) : []);
        Assert.False(part.GetProperty("additionalProperties").GetBoolean());
    }

    [Fact]
    public void The_schema_has_the_checksum_algorithms()
    {
        var listed = schema.GetProperty("$defs").GetProperty("checksum").GetProperty("properties").GetProperty("algorithm").GetProperty("enum");

        Assert.Equal(ChecksumCatalogue.All.Select(algorithm => algorithm.Name), listed.EnumerateArray().Select(name => name.GetString()));
    }

    public static TheoryData<string> Tables => [.. DefinitionKeys.All.Select(table => table.Name)];

    private static string Hex(ulong value, int width) => $"0x{value.ToString($"X{(width + 3) / 4}")}";

    [GeneratedRegex(@"^\| key \| takes \| meaning \|\n\|---\|---\|---\|\n(?<rows>(\|.*\n)+)", RegexOptions.Multiline)]
    private static partial Regex TablePattern();

    [GeneratedRegex(@"^\| `(?<name>(crc|sum|xor|nibble|e2e)[a-z0-9-]+)` \| [a-z0-9 ]+ \| (?<how>.*) \|$", RegexOptions.Multiline)]
    private static partial Regex AlgorithmPattern();
}
