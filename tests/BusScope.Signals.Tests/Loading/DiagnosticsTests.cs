using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class DiagnosticsTests
{
    public static TheoryData<string> CodesWithAnExample =>
        [.. DiagnosticsDocument.Parts.Where(part => part.Example.Length > 0).Select(part => part.Code)];

    [Fact]
    public void The_document_has_every_code_with_its_severity_and_meaning_in_order()
    {
        var documented = DiagnosticsDocument.Parts.Select(part => $"{part.Code} {part.Severity} {part.Meaning}");

        Assert.Equal(Faults.All.Select(kind => $"{kind.Code} {kind.Severity} {kind.Meaning}"), documented);
    }

    [Theory]
    [MemberData(nameof(CodesWithAnExample))]
    public void The_documented_example_is_reported_at_its_place(string code)
    {
        var example = DiagnosticsDocument.Parts.Single(part => part.Code == code).Example;

        var result = DefinitionLoader.LoadText(example, "dunlin.yaml");

        var faults = result.Definitions is { } definitions ? [.. result.Diagnostics, .. ExampleCheck.Run(definitions)] : result.Diagnostics;
        Assert.Contains(faults, fault => fault.Code == code);
        Assert.All(faults, fault => Assert.Contains(Faults.All, kind => kind.Code == fault.Code && kind.Severity == fault.Severity));
        Assert.Equal(faults.Any(fault => fault.Severity == Severity.Error && !fault.Code.StartsWith("example-", StringComparison.Ordinal)), result.Definitions is null);
        Snapshot.Match(DiagnosticText.Render(faults, result.Sources), code);
    }

    [Fact]
    public void A_message_of_a_name_that_is_taken_has_its_own_faults_told_as_well()
    {
        var result = DefinitionLoader.LoadText("busscope: 1\nmessages:\n  A: { id: 0x100, every: 10 ms }\n  A: { id: 0x101, evry: 10 ms }\n", "dunlin.yaml");

        Assert.Equal(["duplicate-key", "unknown-key"], result.Diagnostics.Select(fault => fault.Code));
        Assert.All(result.Diagnostics, fault => Assert.Equal(4, fault.Place.Line));
    }

    [Fact]
    public void One_cause_in_several_places_is_told_once_and_the_other_places_are_named()
    {
        var text = "busscope: 1\nmessages:\n" + string.Concat(Enumerable.Range(0, 12).Select(n => $"  M{n}: {{ id: {n}, needed-by: [clutch] }}\n")) + "  Other: { id: 0x100, from: nobody }\n";
        var result = DefinitionLoader.LoadText(text, "car.yaml");

        var told = DiagnosticText.Render(result.Diagnostics, result.Sources);

        Assert.Equal(13, result.Diagnostics.Count);
        Assert.Equal(2, told.Split(" error ").Length - 1);
        Assert.Contains("  and at 11 further places: car.yaml:4:28, car.yaml:5:28, ", told, StringComparison.Ordinal);
        Assert.Contains("car.yaml:11:28, ...\n\ncar.yaml:15:", told, StringComparison.Ordinal);
    }

    [Fact]
    public void A_thousand_faults_are_listed_and_the_rest_counted()
    {
        var text = "busscope: 1\nmodules:\n" + string.Concat(Enumerable.Range(0, 1_500).Select(n => $"  m{n}: {{ titel: x }}\n"));

        var faults = DefinitionLoader.LoadText(text, "many.yaml").Diagnostics;

        Assert.Equal(1_001, faults.Count);
        Assert.Equal(("too-many-faults", "500 more faults are not listed"), (faults[^1].Code, faults[^1].Message));
    }
}
