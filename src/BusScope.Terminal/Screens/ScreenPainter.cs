using BusScope.Terminal.Drawing;
using BusScope.Terminal.Pages;

namespace BusScope.Terminal.Screens;

/// <summary>The whole screen: what stands on it whatever the page, and the page.</summary>
internal static class ScreenPainter
{
    /// <summary>Paints a page onto a cleared sheet.</summary>
    public static void Paint(Scene scene, ScreenPage page)
    {
        var model = scene.Model;
        var whole = scene.Sheet.Whole;
        var modules = model.HasModules && page.Kind == Page.Home ? model.Modules.Count : 0;
        var layout = Layout.For(whole, modules, model.Health.Buses.Count, scene.Caution is not null, model.HasDefinitions);
        if (whole.Width < Layout.LeastWidth || whole.Height < Layout.LeastHeight)
        {
            TooSmall(scene, whole);
            return;
        }

        KeyPainter.Bottom(scene, layout.Keys, page);
        if (page.Kind != Page.Help)
        {
            AnswerPainter.Paint(scene, layout.Answer);
            BusPainter.Paint(scene, layout.Buses);
            TimePainter.Paint(scene, layout.Time);
            Caution(scene, layout.Caution);
        }

        page.Paint(scene, layout);
        KeyPainter.LongNotice(scene, whole);
    }

    private static void Caution(Scene scene, Area area)
    {
        if (!area.IsEmpty)
        {
            var pen = scene.Pen(area, 0);
            pen.Write(" ! ", Ink.Wary);
            pen.Write(scene.Caution!, Ink.Wary);
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
