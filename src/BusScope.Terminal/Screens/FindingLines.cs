using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What is found against one message, worst first, each in a whole sentence over as many lines as it takes.</summary>
internal static class FindingLines
{
    // The mark of its weight and a blank; further lines stand below the sentence.
    private const int Indent = 2;

    /// <summary>How many lines they take in so many columns; 0 where nothing is found.</summary>
    public static int Count(Scene scene, MessageHealth message, int width)
    {
        var lines = 0;
        foreach (var finding in scene.Model.Health.Findings)
        {
            lines += IsShown(finding, message) ? Wrap.Lines(scene.Marks.Safe(finding.Text), width - Indent) : 0;
        }

        return lines;
    }

    /// <summary>Paints the lines that fit.</summary>
    /// <param name="scene">What is shown.</param>
    /// <param name="area">Where.</param>
    /// <param name="message">The message.</param>
    /// <param name="first">The first line shown, counted from 0.</param>
    public static void Paint(Scene scene, Area area, MessageHealth message, int first)
    {
        var line = -first;
        foreach (var finding in scene.Model.Health.Findings)
        {
            if (!IsShown(finding, message))
            {
                continue;
            }

            var ink = Marks.InkOf(finding.Severity);
            var isFirst = true;
            for (var rest = scene.Marks.Safe(finding.Text).AsSpan(); !rest.IsEmpty; line++)
            {
                var pen = scene.Pen(area, line);
                pen.Put(isFirst ? scene.Marks.Of(finding.Severity) : ' ', ink);
                pen.Skip();
                pen.Write(Wrap.Take(ref rest, area.Width - Indent), ink);
                isFirst = false;
            }
        }
    }

    /// <summary>Whether something is found against a message that weighs more than a note.</summary>
    public static bool Any(HealthReport health, MessageHealth message)
    {
        foreach (var finding in health.Findings)
        {
            if (finding.Severity > FindingSeverity.Note && IsShown(finding, message))
            {
                return true;
            }
        }

        return false;
    }

    // The silence of its whole bus is found against the bus alone.
    private static bool IsShown(Finding finding, MessageHealth message) =>
        finding.IsAbout(message) || (message.BusIsSilent && finding.Code == Health.Findings.FindingCodes.BusSilent && finding.Bus == message.Bus);
}
