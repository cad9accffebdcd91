using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class ExampleCheckTests
{
    [Theory]
    [InlineData("0B B8 00 41 42 43", "Temp: 99.6", true)] // reads 99.59375: within half of the last digit
    [InlineData("0B B8 00 41 42 43", "Temp: 99.594", true)]
    [InlineData("0B B8 00 41 42 43", "Temp: 99.60", false)]
    [InlineData("0B B8 00 41 42 43", "Temp: 100", false)]
    [InlineData("FF FF 00 41 42 43", "Temp: not-available", true)]
    [InlineData("FE 00 00 41 42 43", "Temp: error", true)]
    [InlineData("0B B8 00 41 42 43", "Temp: not-available", false)]
    [InlineData("0B B8 00 41 42 43", "Mode: off", true)]
    [InlineData("0B B8 00 41 42 43", "Mode: 0", true)]
    [InlineData("0B B8 01 41 42 43", "Mode: off", false)]
    [InlineData("0B B8 00 41 42 43", "Name: ABC", true)]
    [InlineData("0B B8 00 41 42 43", "Name: ABD", false)]
    [InlineData("0B B8 00 41 42 43", "Extra: absent", true)]
    [InlineData("0B B8 01 41 42 43", "Extra: 65", true)]
    [InlineData("0B B8 01 41 42 43", "Extra: absent", false)]
    [InlineData("0B", "Mode: absent", true)]
    public void What_a_frame_gives_is_compared_as_written(string frame, string gives, bool agrees)
    {
        var definitions = DefinitionLoader.LoadText(
            $$"""
            busscope: 1
            defaults: { order: big }
            messages:
              Any:
                id: 0x100
                signals:
                  Temp: { bytes: 0..1, scale: 0.03125, offset: 5.84375, not-available: 0xFF00..0xFFFF, error: 0xFE00..0xFEFF }
                  Mode: { byte: 2, values: { 0: off, 1: on } }
                  Name: { bytes: 3..5, type: text }
                  Extra: { byte: 3, when: { Mode: on } }
                examples:
                  - { frame: {{frame}}, gives: { {{gives}} } }
            """,
            "any.yaml").Definitions!;

        Assert.Equal(agrees ? [] : ["example-differs"], ExampleCheck.Run(definitions).Select(fault => fault.Code));
    }

    [Theory]
    [InlineData("template.yaml")]
    public void The_examples_of_the_repository_hold(string file)
    {
        var result = DefinitionLoader.Load([RepoFiles.Path("signal-defs", file)]);

        Assert.Equal("", DiagnosticText.Render(ExampleCheck.Run(result.Definitions!), result.Sources));
        Assert.Contains(result.Definitions!.Messages, message => message.Examples.Count > 0);
    }

    [Fact]
    public void Every_definition_file_of_the_repository_loads_with_the_others_of_its_car()
    {
        var folder = RepoFiles.Path("signal-defs");
        string[] cars = [.. Directory.EnumerateDirectories(folder), .. Directory.EnumerateFiles(folder, "*.yaml")];

        Assert.Contains(Path.Combine(folder, "dunlin"), cars);
        foreach (var car in cars)
        {
            var result = DefinitionLoader.Load([car]);

            Assert.DoesNotContain(result.Diagnostics, fault => fault.Severity == Severity.Error);
            Assert.Equal("", DiagnosticText.Render(ExampleCheck.Run(result.Definitions!), result.Sources));
        }
    }
}
