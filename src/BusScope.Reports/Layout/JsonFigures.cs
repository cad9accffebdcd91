using System.Text.Json;
using BusScope.Frames;

namespace BusScope.Reports.Layout;

/// <summary>The rules of the JSON contract: a missing figure is null, never 0 and never NaN; an identifier is a string.</summary>
internal static class JsonFigures
{
    /// <summary>Indented, so that a person can read it as well.</summary>
    public static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n" };

    public static void WriteFigure(this Utf8JsonWriter json, string name, double? figure)
    {
        if (figure is { } known && double.IsFinite(known))
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    public static void WriteFigure(this Utf8JsonWriter json, string name, long? figure)
    {
        if (figure is { } known)
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    public static void WriteMilliseconds(this Utf8JsonWriter json, string name, FrameSpan? span) => json.WriteFigure(name, span?.Milliseconds);

    public static void WriteSeconds(this Utf8JsonWriter json, string name, FrameSpan? span) => json.WriteFigure(name, span?.Seconds);

    public static void WriteText(this Utf8JsonWriter json, string name, string? text) => json.WriteString(name, text);

    public static void WriteId(this Utf8JsonWriter json, CanId? id)
    {
        json.WriteString("id", id?.ToString());
        if (id is { } known)
        {
            json.WriteBoolean("extended", known.IsExtended);
        }
        else
        {
            json.WriteNull("extended");
        }
    }
}
