using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Writing;
using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>A definition file cannot name every bus as its capture does; what the file then advises must work.</summary>
public class RenamedBusTests
{
    [Fact]
    public void The_only_bus_of_its_captures_can_be_renamed_before_the_capture() =>
        Assert.Contains("the capture calls it CAN 1: give it this name by NAME=CAPTURE\n", Learned(["CAN 1"], ["CAN 1"]), StringComparison.Ordinal);

    // A name before a capture of several is that of its first bus, and the others' names change with it.
    [Theory]
    [InlineData("CAN 1", "body")]
    [InlineData("body", "CAN 1")]
    public void A_bus_beside_another_is_only_said_to_have_another_name(string first, string second)
    {
        var text = Learned(["CAN 1"], [first, second]);

        Assert.Contains("the capture calls it CAN 1\n", text, StringComparison.Ordinal);
        Assert.DoesNotContain("NAME=CAPTURE", text, StringComparison.Ordinal);
    }

    private static string Learned(params string[][] captures)
    {
        var study = new CaptureStudy();
        foreach (var buses in captures)
        {
            var frames = Enumerable.Range(0, 100).SelectMany(i => buses.Select((_, bus) => Some.Frame(0x100, "00", i * 10, (ushort)bus))).ToList();
            study.Read(new ListSource([.. buses.Select(name => new Bus(name))], frames), null, TestContext.Current.CancellationToken);
        }

        var text = new StringWriter();
        BaselineText.Write(Baseline.Learn(study, ["made up"], new Dictionary<string, long>(), TestContext.Current.CancellationToken), text);
        return text.ToString();
    }
}
