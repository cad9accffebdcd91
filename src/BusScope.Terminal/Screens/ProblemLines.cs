using System.Globalization;
using BusScope.Frames.Diagnostics;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What is wrong with the recording, or with what a live source gives: no faults of the car. Whole sentences, over as many lines as they take.</summary>
internal static class ProblemLines
{
    private const int Indent = 3;

    /// <summary>What a source that did not tell everything is called, before the reason.</summary>
    public static string WhatIsCut(Scene scene) =>
        scene.Model.Snapshot.Failure is not null ? "the source failed: "
        : scene.IsReplay ? "the capture is cut: "
        : "not everything was seen: ";

    /// <summary>Paints title and problems into the upper part of an area, at most half of it.</summary>
    /// <returns>How many rows it took; 0 where there is none.</returns>
    public static int Paint(Scene scene, Area area)
    {
        var (problems, interruption) = (scene.Model.Snapshot.Problems, scene.Model.Health.Interruption);
        if (problems.Count == 0 && interruption is null)
        {
            return 0;
        }

        var upper = area.First(Math.Max(2, area.Height / 2));
        var title = scene.Pen(upper, 0);
        scene.Title(ref title, $"Problems of the {Source(scene)}, not faults of the car", isHere: false, 0, 0, 0);
        var row = 1;
        if (interruption is not null && !problems.Any(problem => problem.Kind.Meaning == interruption))
        {
            Sentence(scene, upper, ref row, WhatIsCut(scene) + interruption, Ink.Wary);
        }

        foreach (var problem in problems)
        {
            // The one that cut the source is told as that.
            var isCut = problem.Kind.Meaning == interruption;
            Sentence(scene, upper, ref row, (isCut ? WhatIsCut(scene) : "") + TextOf(problem), isCut ? Ink.Wary : Ink.Plain);
        }

        if (row > upper.Height)
        {
            var last = scene.Pen(upper, upper.Height - 1);
            last.Write($"   and {row - upper.Height + 1} lines more: a taller screen shows them", Ink.Quiet);
            last.Put(' ', Ink.Plain, last.Room);
        }

        return Math.Min(row, upper.Height);
    }

    /// <summary>What the problems are problems of.</summary>
    public static string Source(Scene scene) => scene.IsReplay ? "recording" : "source";

    private static string TextOf(Problem problem)
    {
        var times = problem.Count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $", {problem.Count:#,0} times");
        var place = problem.First.ToString() is { Length: > 0 } known ? $"{(problem.Count == 1 ? ": " : ", first at ")}{known}" : "";
        return $"{problem.Kind.Meaning}{times}{place}{(problem.Detail is { } detail ? $": {detail}" : "")}";
    }

    private static void Sentence(Scene scene, Area area, ref int row, string text, Ink ink)
    {
        var isFirst = true;
        for (var rest = scene.Marks.Safe(text).AsSpan(); !rest.IsEmpty; row++)
        {
            var pen = scene.Pen(area, row);
            pen.Put(' ');
            pen.Put(isFirst ? scene.Marks.Dot : ' ', Ink.Quiet);
            pen.Put(' ');
            pen.Write(Wrap.Take(ref rest, area.Width - Indent), ink);
            isFirst = false;
        }
    }
}
