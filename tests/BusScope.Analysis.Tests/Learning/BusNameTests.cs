using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Writing;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>A check looks for a bus under the name that the file gives it, so the file has the captures' own names.</summary>
public class BusNameTests
{
    [Fact]
    public void Whatever_a_capture_calls_its_buses_the_file_calls_them_so_and_loads() =>
        Gen.String[Gen.Char["ab1 ._-:#{}[],'\"\\&*!|>%@`?~/=yn\u00e4\u2126"], 1, 12].Where(name => name.Trim().Length > 0).Array[1, 4].Where(names => names.Distinct().Count() == names.Length).Sample(
            names =>
            {
                var file = Load(Text(Learned(names)));

                Assert.Equal(names, file.Buses.Select(bus => bus.Name));
                Assert.Equal(names, file.Messages.Select(message => message.Bus));
                Assert.Equal(names.Select(name => $"Whoever listens on {name}"), file.Messages.Select(message => file.Modules.Single(module => module.Name == message.NeededBy[0]).GivenTitle));
            },
            iter: 200);

    [Theory]
    [InlineData("null")]
    [InlineData("~")]
    [InlineData("true")]
    [InlineData("1.0")]
    [InlineData("tel\u001b[31m")]
    public void A_name_that_says_something_to_yaml_or_to_a_terminal_is_a_name(string name) =>
        Assert.Equal(new Bus(name).Name, Assert.Single(Load(Text(Learned(name))).Messages).Bus);

    // By the order of appearance, either may come first.
    [Theory]
    [InlineData("x y", "x_y")]
    [InlineData("x_y", "x y")]
    public void Buses_whose_names_differ_in_a_blank_stay_apart_when_a_capture_is_added(string first, string second)
    {
        var before = Text(Learned("x y", "x_y"));

        var merged = BaselineMerge.Into(new SourceText("car.yaml", before), Learned(first, second));

        Assert.Equal((before, 0, 0), (merged?.Text, merged?.NewMessages, merged?.NewKeys));
    }

    private static DefinitionSet Load(string text)
    {
        var result = DefinitionLoader.LoadTexts([new SourceText("car.yaml", text)]);
        Assert.True(result.Definitions is not null, $"{text}\n{DiagnosticText.Render(result.Diagnostics, result.Sources)}");
        return result.Definitions;
    }

    private static string Text(Baseline baseline)
    {
        var text = new StringWriter();
        BaselineText.Write(baseline, text);
        return text.ToString();
    }

    private static Baseline Learned(params string[] buses)
    {
        var study = new CaptureStudy();
        var frames = Enumerable.Range(0, 100).SelectMany(i => buses.Select((_, bus) => Some.Frame(0x100, "00", i * 10, (ushort)bus))).ToList();
        study.Read(new ListSource([.. buses.Select(name => new Bus(name))], frames), null, TestContext.Current.CancellationToken);
        return Baseline.Learn(study, ["made up"], new Dictionary<string, long>(), TestContext.Current.CancellationToken);
    }
}
