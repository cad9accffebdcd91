using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The answer to the one question: does every module get what it lives on? To be read from a metre away.</summary>
internal static class AnswerPainter
{
    /// <summary>Paints it in one row, or in large letters where there are four.</summary>
    public static void Paint(Scene scene, Area area)
    {
        var model = scene.Model;
        var verdict = model.Health.Verdict;
        var banner = !model.HasDefinitions ? Ink.OpenBanner
            : verdict switch { Verdict.Go => Ink.GoodBanner, Verdict.NoGo => Ink.BadBanner, _ => Ink.OpenBanner };
        var word = !model.HasDefinitions ? "NO DEFINITIONS" : verdict == Verdict.Inconclusive ? "INCONCLUSIVE" : Marks.Word(verdict);
        if (scene.Alarm is not null)
        {
            // Flashes by its weight on the banner, so that it does without colours.
            (word, banner) = ("ALARM", scene.IsAlarmBright ? Ink.BadBanner : Ink.Bad);
        }

        var isLarge = area.Height >= 4 && model.HasDefinitions;
        int left;
        if (isLarge)
        {
            left = LargeLetters.Paint(scene, area, word, banner) + 2;
        }
        else
        {
            var pen = scene.Pen(area, 0);
            pen.Put(' ', banner);
            pen.Put(scene.Alarm is not null ? '!' : model.HasDefinitions ? scene.Marks.Of(verdict) : ' ', banner);
            pen.Put(' ', banner);
            pen.Write(word, banner);
            pen.Write("  ", banner);
            left = pen.Column + 1;
        }

        var text = scene.Pen(area, isLarge ? 1 : 0);
        text.To(left);
        if (isLarge && IsCut(model))
        {
            // Beside large letters each half has a row.
            var what = scene.Pen(area, 0);
            what.To(left);
            what.Write(ProblemLines.WhatIsCut(scene), Ink.Wary);
            text.Write(model.Health.Interruption!, Ink.Wary);
        }
        else
        {
            Sentence(scene, ref text);
        }

        Source(scene, area, isLarge ? 2 : 0, isLarge ? left : -1, text.Column);
    }

    // What cut the source stands before everything that would only be guessed from what is left.
    private static bool IsCut(ScreenModel model) => model.HasDefinitions && model.Health is { Verdict: Verdict.Inconclusive, Interruption: not null };

    private static void Sentence(Scene scene, ref Pen pen)
    {
        var model = scene.Model;
        if (!model.HasDefinitions)
        {
            pen.Figure(model.Messages.Count, "0", Ink.Strong);
            pen.Write(" identifiers; bytes that just changed follow a ");
            pen.Put('*', Ink.Changed);
        }
        else if (IsCut(model))
        {
            pen.Write(ProblemLines.WhatIsCut(scene), Ink.Wary);
            pen.Write(model.Health.Interruption!, Ink.Wary);
        }
        else if (!model.HasModules)
        {
            pen.Write("no module is defined; messages are held against their definitions");
        }
        else if (model.Starving == 0)
        {
            pen.Write(model.Health.Verdict switch
            {
                Verdict.Go => "every module gets what it lives on",
                Verdict.NoGo => "modules are served, but not everything is as defined",
                _ => "too few frames yet to say",
            });
        }
        else
        {
            pen.Figure(model.Starving, "0", Ink.Bad);
            pen.Write(" of ");
            pen.Figure(model.Health.Modules.Count, "0");
            pen.Write(model.Starving == 1 ? " modules does not get what it lives on" : " modules do not get what they live on");
        }
    }

    // Right-aligned in one row; below the sentence beside large letters.
    private static void Source(Scene scene, Area area, int row, int left, int taken)
    {
        var snapshot = scene.Model.Snapshot;
        var name = scene.Marks.Safe(snapshot.Source);
        var pen = scene.Pen(area, row);
        if (left >= 0)
        {
            pen.To(left);
            pen.Write(name, Ink.Quiet);
            return;
        }

        var room = area.Width - taken - 2;
        if (room >= 6)
        {
            pen.To(area.Width - Math.Min(name.Length, room) - 1);
            pen.Write(name.AsSpan(), Ink.Quiet, room);
        }
    }
}
