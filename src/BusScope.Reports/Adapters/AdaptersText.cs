using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;
using BusScope.Transport.Adapters;

namespace BusScope.Reports.Adapters;

/// <summary>The adapters as a person reads them: one line each, then what is to be known and to be typed.</summary>
public static class AdaptersText
{
    private const string Unknown = "-";

    /// <summary>Writes them.</summary>
    public static void Write(TextWriter output, AdapterList list, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(list);
        ArgumentNullException.ThrowIfNull(ink);
        if (list.Adapters.Count == 0)
        {
            output.WriteLine("No adapter is there.");
            Paragraph.Write(output, "A USB adapter shows up here once it is plugged in and the kernel has a driver for it; 'dmesg' tells what the kernel made of it.", "", 0);
        }
        else
        {
            var columns = new Columns("SOURCE", "STATE", ">BIT RATE", "LISTENS ONLY", "WHAT IT IS");
            foreach (var adapter in list.Adapters)
            {
                columns.Add(
                    CleanText.Clean(adapter.Source),
                    adapter.State,
                    Rates(adapter),
                    adapter.IsListenOnly switch { true => "yes", false => "NO", null => Unknown },
                    CleanText.Clean(adapter.Kind));
            }

            columns.Write(output, ink);
        }

        Tell(output, "", list.Notes, list.Commands);
        foreach (var adapter in list.Adapters)
        {
            Tell(output, $"{CleanText.Clean(adapter.Source)}: ", adapter.Notes, adapter.Commands);
        }
    }

    private static string Rates(Adapter adapter) =>
        adapter.BitRate is not { } rate ? Unknown
        : BitRateText.Of(rate, adapter.DataBitRate);

    private static void Tell(TextWriter output, string name, IReadOnlyList<string> notes, IReadOnlyList<string> commands)
    {
        if (notes.Count == 0 && commands.Count == 0)
        {
            return;
        }

        output.WriteLine();
        foreach (var note in notes)
        {
            Paragraph.Write(output, CleanText.Clean(note), name, name.Length);
        }

        foreach (var command in commands)
        {
            output.WriteLine($"    {CleanText.Clean(command)}");
        }
    }
}
