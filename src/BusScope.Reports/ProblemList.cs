using System.Text.Json;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;

namespace BusScope.Reports;

/// <summary>What was wrong with a source's data, in the same words in every report.</summary>
public static class ProblemList
{
    /// <summary>Writes <c>problems</c> of the contract.</summary>
    internal static void Write(Utf8JsonWriter json, IReadOnlyList<Problem> problems)
    {
        json.WriteStartArray("problems");
        foreach (var problem in problems)
        {
            json.WriteStartObject();
            json.WriteString("code", problem.Kind.Code);
            json.WriteNumber("count", problem.Count);
            json.WriteString("first", problem.First.ToString());
            json.WriteFigure("first_frame", problem.First.FrameNumber);
            json.WriteFigure("first_byte", problem.First.ByteOffset);
            json.WriteFigure("first_line", problem.First.Line);
            json.WriteString("bus", problem.First.Bus);
            json.WriteString("meaning", problem.Kind.Meaning);
            json.WriteString("detail", problem.Detail);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    /// <summary>Writes the problems as a paragraph each.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="problems">The problems.</param>
    /// <param name="margin">Blanks before each.</param>
    public static void Write(TextWriter output, IReadOnlyList<Problem> problems, int margin)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(problems);
        foreach (var problem in problems)
        {
            var blanks = new string(' ', margin);
            var place = problem.First.ToString();
            var detail = problem.Detail is null ? "" : $" ({problem.Detail})";
            var found = place.Length == 0 && detail.Length == 0 ? "" : $"; {(problem.Count == 1 ? "at" : "first at")} {place}{detail}";
            var text = CleanText.Clean($"{problem.Kind.Code}, {Times(problem.Count)}: {problem.Kind.Meaning}{found}");
            Paragraph.Write(output, text, blanks, margin + 4);
        }
    }

    private static string Times(long count) => count == 1 ? "once" : $"{Figures.Count(count)} times";
}
