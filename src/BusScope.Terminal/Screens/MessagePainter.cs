using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// The messages of the chosen module with state, age, period and, where there is room, payload; without definitions, the
/// identifiers with theirs.
/// </summary>
internal static class MessagePainter
{
    /// <summary>Paints the messages that fit under their title.</summary>
    public static void Paint(Scene scene, Area area)
    {
        var model = scene.Model;
        var room = area.Height - 2;
        var first = scene.FirstRow(1, model.MessageRow, model.Messages.Count, room);
        var title = scene.Pen(area, 0);
        scene.Title(ref title, Part.Messages, TitleOf(scene), first, model.Messages.Count, room);
        var columns = Columns.For(scene, area.Width);
        var heads = scene.Pen(area, 1);
        columns.Heads(ref heads);
        for (var row = 0; row < room && first + row < model.Messages.Count; row++)
        {
            var message = model.Health.Messages[model.Messages[first + row]];
            var isChosen = first + row == model.MessageRow;
            var pen = scene.Pen(area.Below(2), row);
            pen.Put(isChosen ? scene.Marks.Chosen : scene.Choice.Alarmed.Contains(MessageKey.Of(message)) ? 'a' : ' ', Ink.Key);
            Line(scene, ref pen, message, columns);
            if (isChosen && scene.Choice.Part == Part.Messages)
            {
                pen.TintRow(Ink.Chosen);
            }
        }

        if (model.Messages.Count == 0)
        {
            var none = scene.Pen(area.Below(2), 0);
            none.Write(WhyNone(scene), Ink.Quiet);
        }
    }

    private static string TitleOf(Scene scene)
    {
        var model = scene.Model;
        return scene.Choice.Page switch
        {
            Page.Unknown => "Unknown identifiers",
            Page.Changed => "Changed within 5 s",
            _ when !model.HasDefinitions => "Identifiers",
            _ when model.Module is { } module => $"{module.Definition.Title} lives on {module.States.Sum()}{Shown(scene, module.States.Sum())}",
            _ => $"Every message{Shown(scene, model.Health.Messages.Count)}",
        } + Ordering.Word(scene.Choice.Order);
    }

    // 12 ms/10 ms: as it comes, as it is meant.
    private static void Period(Scene scene, ref Pen pen, MessageHealth message, Columns columns)
    {
        if (columns.IsMeantBehind && message.Definition?.Timing.Every is { } meant && Faults.IsOffTime(scene.Model.Health, message))
        {
            Span<char> text = stackalloc char[64];
            _ = Figures.TryWrite(message.Period.Median ?? meant, text, out var length);
            length = message.Period.Median is null ? 1 : length;
            text[0] = message.Period.Median is null ? '-' : text[0];
            text[length++] = '/';
            _ = Figures.TryWrite(meant, text[length..], out var rest);
            pen.Skip(columns.Period - length - rest);
            pen.Write(text[..(length + rest)], Ink.Wary);
            return;
        }

        pen.Skip(columns.IsMeantBehind ? columns.Period - Figures.SpanWidth : 0);
        pen.Span(message.Period.Median, Ink.Quiet);
    }

    // A filter hides messages; it takes none away.
    private static string Shown(Scene scene, int all) =>
        scene.Choice.Filter.Length > 0 && scene.Model.Messages.Count < all ? $", {scene.Model.Messages.Count} shown" : "";

    private static string WhyNone(Scene scene) =>
        scene.Choice.Filter.Length > 0 ? "  nothing matches the filter"
        : scene.Choice.Page == Page.Unknown && scene.Model.Health.Frames > 0 ? "  every identifier seen has a definition"
        : scene.Choice.Page == Page.Changed ? "  no byte changed within the last 5 s"
        : "  no message yet";

    private static void Line(Scene scene, ref Pen pen, MessageHealth message, Columns columns)
    {
        if (columns.State >= 0)
        {
            pen.Put(scene.Marks.Of(message.State), Marks.InkOf(message.State));
            pen.Put(' ');
            pen.Write(message.BusIsSilent ? "bus off" : Marks.Word(message.State), Marks.InkOf(message.State));
        }

        if (columns.Name > 0)
        {
            pen.To(columns.NameAt);
            pen.Put(message.Worst >= FindingSeverity.Warning && message.State is not (MessageState.Stale or MessageState.Missing) ? scene.Marks.Of(message.Worst) : ' ', Marks.InkOf(message.Worst));
            pen.Put(' ');
            pen.Write(message.Definition?.Name ?? "", Ink.Plain, columns.Name - 2);
            if (message.Definition is null)
            {
                pen.Identifier(message.Id, Ink.Plain);
            }
        }

        if (columns.IdAt >= 0)
        {
            pen.To(columns.IdAt);
            pen.Identifier(message.Id, columns.Name > 0 ? Ink.Quiet : Ink.Strong);
        }

        if (columns.BusAt >= 0)
        {
            pen.To(columns.BusAt);
            pen.Write(message.Bus, Ink.Quiet, Columns.BusWidth - 1);
        }

        if (columns.ChangedAt >= 0)
        {
            pen.To(columns.ChangedAt);
            pen.Span(scene.Model.SinceChange(message), Ink.Changed);
        }

        if (columns.AgeAt >= 0)
        {
            pen.To(columns.AgeAt);
            pen.Span(scene.Model.Age(message), message.State is MessageState.Stale or MessageState.Late ? Marks.InkOf(message.State) : Ink.Plain);
        }

        if (columns.PeriodAt >= 0)
        {
            pen.To(columns.PeriodAt);
            Period(scene, ref pen, message, columns);
        }

        if (columns.ExpectedAt >= 0)
        {
            pen.To(columns.ExpectedAt);
            pen.Span(message.Definition?.Timing.Every, Ink.Quiet);
        }

        if (columns.LongestAt >= 0)
        {
            pen.To(columns.LongestAt);
            pen.Span(message.Period.Longest, Ink.Quiet);
        }

        if (columns.PayloadAt >= 0)
        {
            pen.To(columns.PayloadAt);
            pen.Payload(scene, message);
        }
    }
}
