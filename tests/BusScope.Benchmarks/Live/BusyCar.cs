using System.Globalization;
using System.Text;
using BusScope.Frames;

namespace BusScope.Benchmarks.Live;

/// <summary>A car with much to tell: 200 messages with 1,500 signals, each message a hundred times a second, 20,000 frames a second together.</summary>
internal static class BusyCar
{
    /// <summary>Messages, and frames a second of each.</summary>
    public const int Messages = 200, Rate = 100;

    /// <summary>The identifier of the first message on each bus.</summary>
    public const uint FirstId = 0x100;

    private const int Modules = 20;

    /// <summary>Its definition file.</summary>
    public static string Definitions() => Definitions(["pipe"], Messages, 10);

    /// <summary>
    /// A definition file of many messages, spread evenly over buses; on each the identifiers count up from <see cref="FirstId"/>. Every second message
    /// has eight signals of a byte, the others six of a byte and one of two.
    /// </summary>
    /// <param name="buses">Names of buses.</param>
    /// <param name="messages">How many on all of them together.</param>
    /// <param name="period">Of each, milliseconds.</param>
    /// <param name="timing">Further keys of their timing, each with its line end and four blanks behind it; or nothing.</param>
    public static string Definitions(IReadOnlyList<string> buses, int messages, double period, string timing = "")
    {
        var text = new StringBuilder("busscope: 1\nbuses:\n");
        foreach (var bus in buses)
        {
            _ = text.Append(CultureInfo.InvariantCulture, $"  {bus}: {{ bitrate: 8 Mbit/s }}\n");
        }

        _ = text.Append("modules:\n");
        for (var module = 0; module < Modules; module++)
        {
            _ = text.Append(CultureInfo.InvariantCulture, $"  unit{module}: {{ title: Control unit {module} }}\n");
        }

        _ = text.Append("messages:\n");
        for (var message = 0; message < messages; message++)
        {
            var (bus, id) = (buses[message % buses.Count], FirstId + (message / buses.Count));
            _ = text.Append(CultureInfo.InvariantCulture, $"  Message{message}:\n    id: 0x{id:X3}\n    bus: {bus}\n    from: unit{message % Modules}\n    needed-by: [unit{(message + 1) % Modules}, unit{(message + 7) % Modules}]\n    length: 8\n    every: {period} ms\n    {timing}signals:\n");
            for (var signal = 0; signal < (message % 2 == 0 ? 8 : 7); signal++)
            {
                var place = message % 2 == 1 && signal == 6 ? "bytes: 6..7, order: big" : $"byte: {signal}";
                _ = text.Append(CultureInfo.InvariantCulture, $"      M{message}Signal{signal}: {{ {place}, scale: 0.5, unit: km/h }}\n");
            }
        }

        return text.ToString();
    }

    /// <summary>Adds the frames of one millisecond: twenty messages, of which each byte swings at a speed of its own.</summary>
    /// <param name="batch">Where to.</param>
    /// <param name="millisecond">Since the start.</param>
    /// <param name="at">The time of the frames.</param>
    public static void Add(FrameBatch batch, long millisecond, FrameTime at)
    {
        Span<byte> payload = stackalloc byte[8];
        for (var i = 0; i < Messages * Rate / 1_000; i++)
        {
            var message = (uint)((millisecond % 10 * (Messages / 10)) + i);
            for (var position = 0; position < payload.Length; position++)
            {
                payload[position] = (byte)(128 + (100 * Math.Sin((millisecond / 1_000.0 * (position + 1)) + message)));
            }

            batch.Add().Set(at, 0, new CanId(FirstId + message, isExtended: false), FrameKinds.None, payload);
        }
    }
}
