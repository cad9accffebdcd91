using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text;
using BusScope.Frames;

namespace BusScope.Health.Tests;

/// <summary>Everything that a report says, as text, so that two of them can be compared to the last figure.</summary>
internal static class Dump
{
    public static string Of(HealthReport report)
    {
        var text = new StringBuilder();
        Write(text, report, 0);
        return text.ToString();
    }

    private static void Write(StringBuilder text, object? value, int depth)
    {
        switch (value)
        {
            case null:
                text.Append("-\n");
                break;
            case ReadOnlyMemory<byte> bytes:
                text.Append(Convert.ToHexString(bytes.Span)).Append('\n');
                break;
            case ReadOnlyMemory<FrameTime> times:
                text.AppendJoin(' ', times.ToArray()).Append('\n');
                break;
            case string or Enum or ValueType:
                text.AppendFormat(CultureInfo.InvariantCulture, "{0}\n", value);
                break;
            case IEnumerable all:
                text.Append('\n');
                foreach (var each in all)
                {
                    text.Append(' ', depth);
                    Write(text, each, depth + 1);
                }

                break;
            // What comes from the definitions is the same object.
            default:
                text.Append('\n');
                foreach (var property in value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.Name != "Definition"))
                {
                    text.Append(' ', depth).Append(property.Name).Append(' ');
                    Write(text, property.GetValue(value), depth + 1);
                }

                break;
        }
    }
}
