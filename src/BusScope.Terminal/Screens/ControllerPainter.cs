using BusScope.Frames;
using BusScope.Health;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Pages;

namespace BusScope.Terminal.Screens;

/// <summary>The two lines of a bus that tell of its controller.</summary>
internal static class ControllerPainter
{
    /// <summary>Its state and its error counters.</summary>
    public static void State(Scene scene, Pen pen, ControllerStatus? controller)
    {
        pen.Skip(3);
        if (controller is null || (scene.IsReplay && controller.State == ControllerState.Unknown))
        {
            pen.Put(scene.Marks.Dot, Ink.Quiet);
            pen.Write(scene.IsReplay ? " a recording: there is no controller to ask" : " this source has no controller to ask", Ink.Quiet);
            return;
        }

        var weight = ControllerWords.Weight(controller.State);
        var ink = Marks.InkOf(weight);
        pen.Put(scene.Marks.Of(weight), ink);
        pen.Put(' ');
        pen.Write(ControllerWords.Of(controller.State), ink);
        if (controller.Since.IsKnown)
        {
            pen.Write(" since ", Ink.Quiet);
            pen.Clock(scene.Model.SinceStart(controller.Since), Ink.Quiet, 0);
        }

        pen.To(BusesPage.SecondColumn);
        if (controller.TransmitErrors is null && controller.ReceiveErrors is null)
        {
            pen.Write("error counters not told", Ink.Quiet);
        }
        else
        {
            pen.Write("error counters: transmit ", Ink.Quiet);
            Counter(ref pen, controller.TransmitErrors);
            pen.Write(", receive ", Ink.Quiet);
            Counter(ref pen, controller.ReceiveErrors);
        }
    }

    // The levels at which a controller warns and becomes passive are 96 and 128 (ISO 11898-1).
    private static void Counter(ref Pen pen, int? count)
    {
        if (count is { } known)
        {
            pen.Figure(known, "0", known >= 128 ? Ink.Bad : known >= 96 ? Ink.Wary : Ink.Plain);
        }
        else
        {
            pen.Put('-', Ink.Quiet);
        }
    }

    /// <summary>Whether it only listens, what was lost, and the silences of its bus.</summary>
    public static void Listening(Scene scene, Pen pen, BusLine bus)
    {
        pen.Skip(3);
        if (bus.Controller is { } controller && !scene.IsReplay)
        {
            var (weight, word) = controller.IsListenOnly switch
            {
                true => (MessageState.Fresh, "listen-only"),
                false => (MessageState.Late, "NOT listen-only: it takes part"),
                null => ((MessageState?)null, "listen-only not told"),
            };
            pen.Put(scene.Marks.Of(weight), Marks.InkOf(weight));
            pen.Put(' ');
            pen.Write(word, Marks.InkOf(weight));
        }

        pen.To(BusesPage.SecondColumn);
        var lost = bus.Controller?.LostFrames ?? 0;
        pen.Write(lost > 0 ? "LOST " : "lost ", lost > 0 ? Ink.Bad : Ink.Quiet);
        pen.Figure(lost, "#,0", lost > 0 ? Ink.Bad : Ink.Quiet);
        pen.Write(" frames", lost > 0 ? Ink.Bad : Ink.Quiet);
        pen.To(BusesPage.ThirdColumn);
        var silences = bus.Health.Silences;
        pen.Write("silent ", silences > 0 ? Ink.Wary : Ink.Quiet);
        pen.Figure(silences, "0' x'", silences > 0 ? Ink.Wary : Ink.Quiet);
        if (bus.Health.LongestSilence is { } longest)
        {
            pen.Write(" max ", Ink.Quiet);
            pen.ShortSpan(longest);
        }
    }
}
