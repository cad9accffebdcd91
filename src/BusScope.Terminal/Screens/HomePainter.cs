using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The whole screen.</summary>
internal static class HomePainter
{
    /// <summary>Paints the page that was chosen onto a cleared sheet.</summary>
    public static Layout Paint(Scene scene)
    {
        var model = scene.Model;
        var whole = scene.Sheet.Whole;
        var page = scene.Choice.Page;
        var layout = Layout.For(whole, model.HasModules && page == Page.Home ? model.Modules.Count : 0, model.Health.Buses.Count, scene.Caution is not null, model.HasDefinitions);
        if (whole.Width < Layout.LeastWidth || whole.Height < Layout.LeastHeight)
        {
            TooSmall(scene, whole);
            return layout;
        }

        KeyPainter.Bottom(scene, layout.Keys);
        if (page == Page.Help)
        {
            HelpPainter.Paint(scene, whole.First(whole.Height - 1));
            return layout;
        }

        AnswerPainter.Paint(scene, layout.Answer);
        BusPainter.Paint(scene, layout.Buses);
        TimePainter.Paint(scene, layout.Time);
        if (!layout.Caution.IsEmpty)
        {
            var pen = scene.Pen(layout.Caution, 0);
            pen.Write(" ! ", Ink.Wary);
            pen.Write(scene.Caution!, Ink.Wary);
        }

        if (page == Page.Events)
        {
            EventPainter.Page(scene, layout.Body);
            return layout;
        }

        if (page == Page.Buses)
        {
            BusPage.Paint(scene, layout.Body);
            return layout;
        }

        if (!layout.Modules.IsEmpty)
        {
            ModulePainter.Paint(scene, layout.Modules, layout.IsTall || layout.Modules.Width < whole.Width);
        }

        MessagePainter.Paint(scene, layout.Messages);
        Wall(scene, layout);
        DetailPainter.Paint(scene, layout.Details);
        EventPainter.Latest(scene, layout.Events);
        return layout;
    }

    // Between parts that stand side by side.
    private static void Wall(Scene scene, Layout layout)
    {
        var area = layout.Details.Top == layout.Messages.Top
            ? layout.Details with { Left = layout.Details.Left - 1, Width = 1 }
            : layout.Body with { Left = layout.Messages.Left - 1, Width = 1 };
        for (var row = 0; row < area.Height; row++)
        {
            scene.Pen(area, row).Put(row == 0 && layout.Details.Top == layout.Messages.Top ? scene.Marks.Junction : scene.Marks.Wall, Ink.Quiet);
        }
    }

    // The answer has room on the smallest screen.
    private static void TooSmall(Scene scene, Area whole)
    {
        AnswerPainter.Paint(scene, whole.First(1));
        var pen = scene.Pen(whole, 1);
        pen.Write("the screen needs 60 columns and 16 rows");
    }
}
