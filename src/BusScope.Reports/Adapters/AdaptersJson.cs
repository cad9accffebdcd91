using System.Text.Json;
using BusScope.Reports.Layout;
using BusScope.Transport.Adapters;

namespace BusScope.Reports.Adapters;

/// <summary>The adapters for machines. The contract stands in docs/command-line.md.</summary>
public static class AdaptersJson
{
    /// <summary>Writes them.</summary>
    public static void Write(Stream output, AdapterList list)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(list);
        using (var json = new Utf8JsonWriter(output, JsonFigures.Options))
        {
            json.WriteStartObject();
            json.WriteStartArray("adapters");
            foreach (var adapter in list.Adapters)
            {
                WriteAdapter(json, adapter);
            }

            json.WriteEndArray();
            WriteTexts(json, "notes", list.Notes);
            WriteTexts(json, "commands", list.Commands);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteAdapter(Utf8JsonWriter json, Adapter adapter)
    {
        json.WriteStartObject();
        json.WriteString("source", adapter.Source);
        json.WriteString("kind", adapter.Kind);
        json.WriteString("state", adapter.State);
        json.WriteBoolean("ready", adapter.IsReady);
        json.WriteFigure("bit_rate", adapter.BitRate);
        json.WriteFigure("data_bit_rate", adapter.DataBitRate);
        if (adapter.IsListenOnly is { } listens)
        {
            json.WriteBoolean("listen_only", listens);
        }
        else
        {
            json.WriteNull("listen_only");
        }

        WriteTexts(json, "notes", adapter.Notes);
        WriteTexts(json, "commands", adapter.Commands);
        json.WriteEndObject();
    }

    private static void WriteTexts(Utf8JsonWriter json, string name, IReadOnlyList<string> texts)
    {
        json.WriteStartArray(name);
        foreach (var text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }
}
