using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads an example: a frame and what it must give.</summary>
internal static class ExampleBinder
{
    /// <summary>The example, or null with a fault.</summary>
    public static FrameExample? Read(Node node, IReadOnlyList<SignalDefinition> signals, int? length, FileBinding file)
    {
        var faults = file.Faults;
        var section = new Section(node, node.Place, DefinitionKeys.Example, faults);
        _ = section.Text("note");
        var expected = new List<ExpectedValue>();
        foreach (var entry in section.Entries("gives"))
        {
            if (file.LeftOut.Contains(entry.Name))
            {
                continue;
            }

            if (signals.All(signal => signal.Name != entry.Name))
            {
                faults.Add(Faults.UnknownSignal, entry.Key.Place, $"the message has no signal {FaultList.Quote(entry.Name)}", faults.Suggest(entry.Name, signals.Select(signal => signal.Name)));
            }
            else if (faults.Scalar(entry.Value, "a number, a name, or not-available, error or absent") is { } scalar)
            {
                expected.Add(new ExpectedValue(entry.Name, scalar.Value, Literal.TryNumber(scalar.Value, out var number) ? number : null, scalar.Place));
            }
        }

        if (section.Scalar("frame") is not { } frame)
        {
            return null;
        }

        if (!Literal.TryPayload(frame.Value, out var payload))
        {
            faults.Add(Faults.BadFrame, frame.Place, $"found {frame.Describe()}; expected at most {Payload.Capacity} bytes as pairs of hexadecimal digits", "for example '0F A0 7B 00'");
            return null;
        }

        if (length is { } bytes && payload.Length != bytes)
        {
            faults.Add(Faults.ExampleLength, frame.Place, $"the frame has {payload.Length} bytes, the message {bytes}");
        }

        return new FrameExample(payload, expected, frame.Place);
    }
}
