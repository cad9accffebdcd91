using System.Globalization;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Loading;

/// <summary>Reads the examples of a definition set and compares what they give with what they must.</summary>
public static class ExampleCheck
{
    private const string NotAvailable = "not-available";
    private const string ErrorWord = "error";
    private const string Absent = "absent";

    /// <summary>A diagnostic for each signal that reads something else, and for each checksum that does not hold.</summary>
    public static IReadOnlyList<Diagnostic> Run(DefinitionSet definitions)
    {
        ArgumentNullException.ThrowIfNull(definitions);
        var faults = new List<Diagnostic>();
        foreach (var message in definitions.Messages.Where(message => message.Examples.Count > 0))
        {
            var plan = new MessagePlan(message);
            foreach (var example in message.Examples)
            {
                Check(plan, example, faults);
            }
        }

        return faults;
    }

    private static void Check(MessagePlan plan, FrameExample example, List<Diagnostic> faults)
    {
        var payload = example.Payload.Span;
        if (plan.ChecksumHolds(payload) == false)
        {
            faults.Add(new Diagnostic(Faults.ExampleChecksum.Code, Faults.ExampleChecksum.Severity, example.Place, "the frame's checksum is not what the definition computes from it") { Related = plan.Definition.Place });
        }

        foreach (var expected in example.Gives)
        {
            var index = IndexOf(plan, expected.Signal);
            if (index < 0)
            {
                continue;
            }

            var sample = plan.Read(index, payload);
            var reads = Reads(plan.Signals[index], sample, payload);
            if (!Agrees(expected, plan.Signals[index], sample, reads))
            {
                faults.Add(new Diagnostic(Faults.ExampleDiffers.Code, Faults.ExampleDiffers.Severity, expected.Place, $"{expected.Signal} reads {FaultList.Quote(reads)}; the example expects {FaultList.Quote(expected.Text)}") { Related = plan.Signals[index].Definition.Place });
            }
        }
    }

    private static int IndexOf(MessagePlan plan, string signal)
    {
        for (var i = 0; i < plan.Signals.Count; i++)
        {
            if (plan.Signals[i].Definition.Name == signal)
            {
                return i;
            }
        }

        return -1;
    }

    private static string Reads(SignalPlan signal, Sample sample, ReadOnlySpan<byte> payload) => sample.Quality switch
    {
        SampleQuality.NotAvailable => NotAvailable,
        SampleQuality.Error => ErrorWord,
        SampleQuality.Absent => Absent,
        _ when signal.Definition.Encoding == SignalEncoding.Text => signal.Text(payload) ?? Absent,
        _ when signal.NameOf(sample.Raw) is { } name => name,
        _ => sample.Value.ToString("R", CultureInfo.InvariantCulture),
    };

    private static bool Agrees(ExpectedValue expected, SignalPlan signal, Sample sample, string reads)
    {
        if (expected.Text == reads)
        {
            return true;
        }

        var hasNumber = signal.Definition.Encoding != SignalEncoding.Text && sample.Quality is SampleQuality.Ok or SampleQuality.OutOfRange or SampleQuality.Implausible;
        return hasNumber && expected.Number is { } number && Math.Abs(sample.Value - number) <= HalfLastDigit(expected.Text, number);
    }

    // '99.6' means 99.55 to 99.65; a whole number means itself, give or take what a double cannot hold.
    private static double HalfLastDigit(string text, double number)
    {
        var tiny = Math.Abs(number) * 1e-9;
        var point = text.IndexOf('.', StringComparison.Ordinal);
        var hasExponent = text.AsSpan().ContainsAny('e', 'E');
        return point < 0 || hasExponent ? tiny : Math.Max(tiny, 0.5 * Math.Pow(10, -(text.Length - point - 1)) * (1 + 1e-9));
    }
}
