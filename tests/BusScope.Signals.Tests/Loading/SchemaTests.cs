using System.Text.Json;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Json.Schema;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

/// <summary>The published schema against files, by an independent validator.</summary>
public sealed class SchemaTests
{
    private static readonly Lazy<JsonSchema> schema = new(() => JsonSchema.FromText(File.ReadAllText(RepoFiles.Path("docs", "definition-file.schema.json"))));

    /// <summary>Faults of form, which a schema can see. The others are of meaning, or of YAML itself.</summary>
    private static readonly string[] seenBySchema =
    [
        "version-wrong", "unknown-key", "missing-key", "wrong-type", "bad-number", "out-of-bounds", "bad-duration", "bad-bit-rate", "unknown-word", "bad-name",
        "bad-text", "keys-contradict", "position-missing", "position-ambiguous", "length-impossible", "unknown-algorithm", "bad-frame",
    ];

    private static readonly string[] noYaml = ["yaml-syntax", "yaml-tab", "several-documents", "duplicate-key", "alias-unknown", "alias-too-large", "nesting-too-deep", "file-empty", "yaml-tag"];

    public static TheoryData<string> Files => [.. Directory.EnumerateFiles(RepoFiles.Path("signal-defs"), "*.yaml", SearchOption.AllDirectories).Select(file => Path.GetRelativePath(RepoFiles.Path("signal-defs"), file))];

    public static TheoryData<string> Examples => [.. DiagnosticsDocument.Parts.Where(part => part.Example.Length > 0 && !noYaml.Contains(part.Code)).Select(part => part.Code)];

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_definition_file_of_the_repository_fits_the_schema(string file)
    {
        var text = File.ReadAllText(RepoFiles.Path("signal-defs", file));

        Assert.Equal("", Faults(text));
    }

    [Fact]
    public void The_file_with_every_section_fits_the_schema() => Assert.Equal("", Faults(DefinitionLoaderTests.Whole));

    [Theory]
    [InlineData("Channel 1", true)]
    [InlineData("\"x: y\"", true)]
    [InlineData("1", true)]
    [InlineData("1.0", true)]
    [InlineData("\" \"", false)]
    [InlineData("\"a\\eb\"", false)]
    public void The_schema_takes_the_names_of_buses_that_the_loader_takes(string name, bool isTaken)
    {
        var text = $"busscope: 1\nbuses:\n  {name}: {{}}\nmessages:\n  M: {{ id: 1, bus: {name} }}\n";

        Assert.Equal(isTaken, Faults(text).Length == 0);
        Assert.Equal(isTaken, DefinitionLoader.LoadText(text, "car.yaml").Diagnostics.Count == 0);
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void The_schema_refuses_faults_of_form_and_no_others(string code)
    {
        var example = DiagnosticsDocument.Parts.Single(part => part.Code == code).Example;

        var faults = Faults(example);

        Assert.True(seenBySchema.Contains(code) == (faults.Length > 0), $"{code}: {faults}");
    }

    [Fact]
    public void The_template_has_no_fault()
    {
        var result = DefinitionLoader.Load([RepoFiles.Path("signal-defs", "template.yaml")]);

        Assert.Equal("", DiagnosticText.Render(result.Diagnostics, result.Sources));
    }

    private static string Faults(string yaml)
    {
        var instance = JsonSerializer.SerializeToElement(YamlAsJson.Convert(yaml));
        var result = schema.Value.Evaluate(instance, new EvaluationOptions { OutputFormat = OutputFormat.List });
        return result.IsValid ? "" : string.Join('\n', result.Details!.Where(detail => detail.Errors is not null).SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation} {error.Key}: {error.Value}")));
    }
}
