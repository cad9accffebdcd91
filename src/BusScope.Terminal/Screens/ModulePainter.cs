using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>One line a module: its verdict, its name, how its messages stand, and the worst of them.</summary>
internal static class ModulePainter
{
    // Behind mark and verdict, the longest of which is "inconclusive".
    private const int NameAt = 16;

    // " 12/14 well" of a module that needs many, and the blank behind it.
    private const int CountsWidth = 12;

    /// <summary>Paints the modules that fit, under a title on a tall screen.</summary>
    public static void Paint(Scene scene, Area area, bool hasTitle)
    {
        var model = scene.Model;
        var room = area.Height - (hasTitle ? 1 : 0);
        var first = scene.FirstRow(0, model.ModuleRow, model.Modules.Count, room);
        if (hasTitle)
        {
            var pen = scene.Pen(area, 0);
            scene.Title(ref pen, Part.Modules, "Modules", first, model.Modules.Count, room);
        }

        var name = NameWidth(scene, area.Width);
        for (var row = 0; row < room && first + row < model.Modules.Count; row++)
        {
            var pen = scene.Pen(area.Below(hasTitle ? 1 : 0), row);
            var isChosen = first + row == model.ModuleRow;
            pen.Put(isChosen ? scene.Marks.Chosen : ' ', Ink.Key);
            if (model.Modules[first + row] is var index and not ScreenModel.Everything)
            {
                Line(scene, ref pen, model.Health.Modules[index], name);
            }
            else
            {
                Everything(scene, ref pen);
            }

            if (isChosen && scene.Choice.Part == Part.Modules)
            {
                pen.TintRow(Ink.Chosen);
            }
        }
    }

    private static int NameWidth(Scene scene, int width)
    {
        var longest = 12;
        foreach (var module in scene.Model.Health.Modules)
        {
            longest = Math.Max(longest, scene.Marks.Safe(module.Definition.Title).Length);
        }

        return Math.Min(longest, width >= 100 ? 30 : 20);
    }

    private static void Line(Scene scene, ref Pen pen, ModuleHealth module, int nameWidth)
    {
        var ink = Marks.InkOf(module.Verdict);
        pen.Put(scene.Marks.Of(module.Verdict), ink);
        pen.Put(' ');
        pen.Write(Marks.Word(module.Verdict), ink);
        pen.To(NameAt);
        pen.Write(module.Definition.Title, module.Verdict == Verdict.NoGo ? Ink.Strong : Ink.Plain, nameWidth);
        pen.To(NameAt + 1 + nameWidth);
        Counts(scene, ref pen, module);
        pen.To(NameAt + 1 + nameWidth + CountsWidth);
        if (module.Alive is { } alive && pen.Room >= 60)
        {
            pen.Put(scene.Marks.Of(alive), Marks.InkOf(alive));
            var (word, wordInk) = alive switch
            {
                MessageState.Fresh or MessageState.Late => (" runs", Ink.Quiet),
                MessageState.Stale or MessageState.Missing => (" itself silent", Ink.Wary),
                MessageState.Awaited => (" awaited", Ink.Quiet),
                _ => (" idle", Ink.Quiet),
            };
            pen.Write(word, wordInk);
            pen.To(NameAt + 1 + nameWidth + CountsWidth + 16);
        }

        Worst(scene, ref pen, module);
    }

    // 5/6 well: so many of its messages are fresh and without a fault.
    private static void Counts(Scene scene, ref Pen pen, ModuleHealth module)
    {
        var all = 0;
        foreach (var count in module.States)
        {
            all += count;
        }

        var idle = Count(module, MessageState.Idle);
        var well = Count(module, MessageState.Fresh) - Faults.FreshWithFault(scene.Model.Health, module);
        if (all > 0 && idle == all)
        {
            pen.Skip(1);
            pen.Write("idle", Ink.Quiet);
            return;
        }

        pen.Figure(well, "0", well < all - idle ? Ink.Wary : Ink.Plain, 3);
        pen.Put('/', Ink.Quiet);
        pen.Figure(all - idle, "0", Ink.Quiet);
        if (all > 0)
        {
            pen.Write(" well", Ink.Quiet);
        }
    }

    private static int Count(ModuleHealth module, MessageState state) => (int)state < module.States.Count ? module.States[(int)state] : 0;

    private static void Worst(Scene scene, ref Pen pen, ModuleHealth module)
    {
        var model = scene.Model;
        if (module.Worst is not { } index)
        {
            pen.Write("needs nothing that is defined", Ink.Quiet);
            return;
        }

        var worst = model.Health.Messages[index];
        var name = worst.Definition?.Name ?? worst.Id?.ToString() ?? "";
        switch (worst.State)
        {
            case MessageState.Missing or MessageState.Stale or MessageState.Late:
                pen.Put(scene.Marks.Of(worst.State), Marks.InkOf(worst.State));
                pen.Put(' ');
                pen.Write(name, Ink.Plain, Math.Max(8, pen.Room - 16));
                pen.Put(' ');
                pen.Write(worst.BusIsSilent ? "bus silent" : worst.State == MessageState.Missing ? "never seen" : Marks.Word(worst.State), Marks.InkOf(worst.State));
                if (worst.State != MessageState.Missing && !worst.BusIsSilent && model.Age(worst) is { } age)
                {
                    pen.Put(' ');
                    pen.ShortSpan(age, Marks.InkOf(worst.State));
                }

                break;
            case var _ when module.Verdict != Verdict.Go && Faults.Starving(model.Health, module) is { } finding:
                pen.Put(scene.Marks.Of(finding.Severity), Marks.InkOf(finding.Severity));
                pen.Put(' ');
                pen.Write(finding.Text);
                break;
            case MessageState.Awaited:
                pen.Write("awaits ", Ink.Quiet);
                pen.Write(name, Ink.Quiet);
                break;
            default:
                break;
        }
    }

    private static void Everything(Scene scene, ref Pen pen)
    {
        pen.Put(scene.Marks.Dot, Ink.Quiet);
        pen.To(NameAt);
        pen.Write("every message", Ink.Plain);
        pen.Skip(2);
        pen.Figure(scene.Model.Health.Messages.Count, "0", Ink.Quiet);
        var unknown = 0;
        foreach (var message in scene.Model.Health.Messages)
        {
            unknown += message.DefinitionIndex < 0 ? 1 : 0;
        }

        if (unknown > 0)
        {
            pen.Write(", of them ", Ink.Quiet);
            pen.Figure(unknown, "0", Ink.Note);
            pen.Write(" without a definition", Ink.Quiet);
        }
    }
}
