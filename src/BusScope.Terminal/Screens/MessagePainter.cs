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
        scene.Title(ref title, Part.Messages, TitleOf(model), first, model.Messages.Count, room);
        var columns = Columns.For(scene, area.Width);
        var heads = scene.Pen(area, 1);
        columns.Heads(ref heads, model.HasDefinitions);
        for (var row = 0; row < room && first + row < model.Messages.Count; row++)
        {
            var message = model.Health.Messages[model.Messages[first + row]];
            var isChosen = first + row == model.MessageRow;
            var pen = scene.Pen(area.Below(2), row);
            pen.Put(isChosen ? scene.Marks.Chosen : ' ', Ink.Key);
            Line(scene, ref pen, message, columns);
            if (isChosen && scene.Choice.Part == Part.Messages)
            {
                pen.TintRow(Ink.Chosen);
            }
        }

        if (model.Messages.Count == 0)
        {
            var none = scene.Pen(area.Below(2), 0);
            none.Write(scene.Choice.Filter.Length > 0 ? "  nothing matches the filter" : "  no message yet", Ink.Quiet);
        }
    }

    private static string TitleOf(ScreenModel model) =>
        !model.HasDefinitions ? "Identifiers"
        : model.Module is { } module ? $"{module.Definition.Title} lives on {model.Messages.Count}"
        : "Every message";

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

        pen.To(columns.AgeAt);
        pen.Span(scene.Model.Age(message), message.State is MessageState.Stale or MessageState.Late ? Marks.InkOf(message.State) : Ink.Plain);
        pen.To(columns.PeriodAt);
        pen.Span(message.Period.Median, Ink.Quiet);
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

/// <summary>Which columns of the message list are shown, and where, at a given width: the least needed go first.</summary>
internal readonly record struct Columns
{
    /// <summary>Columns of a bus name and the blank behind it.</summary>
    public const int BusWidth = 9;

    private const int StateWidth = 10;
    private const int LeastName = 19;
    private const int MostName = 34;

    public int State { get; private init; }

    public int NameAt { get; private init; }

    public int Name { get; private init; }

    public int IdAt { get; private init; }

    public int BusAt { get; private init; }

    public int AgeAt { get; private init; }

    public int PeriodAt { get; private init; }

    public int ExpectedAt { get; private init; }

    public int LongestAt { get; private init; }

    public int PayloadAt { get; private init; }

    public static Columns For(Scene scene, int width)
    {
        var model = scene.Model;
        var id = model.HasLongIdentifiers ? 11 : 6;
        var span = Figures.SpanWidth + 1;
        if (!model.HasDefinitions)
        {
            var bus = model.Health.Buses.Count > 1 && width >= 1 + id + BusWidth + (2 * span) + PayloadPainter.Width(8);
            var at = 1 + id + (bus ? BusWidth : 0);
            var longest = width >= at + (3 * span) + PayloadPainter.Width(8);
            return new Columns
            {
                State = -1,
                IdAt = 1,
                BusAt = bus ? 1 + id : -1,
                AgeAt = at,
                PeriodAt = at + span,
                ExpectedAt = -1,
                LongestAt = longest ? at + (2 * span) : -1,
                PayloadAt = at + ((longest ? 3 : 2) * span) - 1,
            };
        }

        // Name, state, age and period always; then identifier, payload, bus, expected period, longest gap.
        var left = width - 1 - StateWidth - LeastName - (2 * span);
        bool Take(int columns, bool wanted = true)
        {
            var taken = wanted && left >= columns;
            left -= taken ? columns : 0;
            return taken;
        }

        var hasId = Take(id);
        var hasPayload = Take(PayloadPainter.Width(8) + 1);
        var hasBus = Take(BusWidth, model.Health.Buses.Count > 1);
        var hasExpected = hasPayload && Take(span);
        var hasLongest = hasPayload && Take(span);
        var name = LeastName + Math.Clamp(left, 0, MostName - LeastName);
        var next = 1 + StateWidth + name;
        int Place(bool has, int columns)
        {
            var place = has ? next : -1;
            next += has ? columns : 0;
            return place;
        }

        return new Columns
        {
            State = 1,
            NameAt = 1 + StateWidth - 1,
            Name = name,
            IdAt = Place(hasId, id),
            BusAt = Place(hasBus, BusWidth),
            AgeAt = Place(true, span),
            PeriodAt = Place(true, span),
            ExpectedAt = Place(hasExpected, span),
            LongestAt = Place(hasLongest, span),
            PayloadAt = Place(hasPayload, 0),
        };
    }

    public void Heads(ref Pen pen, bool hasDefinitions)
    {
        Head(ref pen, State < 0 ? -1 : 3, "state", 0);
        Head(ref pen, Name > 0 ? NameAt + 2 : -1, "message", 0);
        Head(ref pen, IdAt, hasDefinitions ? "id" : "ident.", 0);
        Head(ref pen, BusAt, "bus", 0);
        Head(ref pen, AgeAt, "age", Figures.SpanWidth);
        Head(ref pen, PeriodAt, "period", Figures.SpanWidth);
        Head(ref pen, ExpectedAt, "meant", Figures.SpanWidth);
        Head(ref pen, LongestAt, "longest", Figures.SpanWidth);
        Head(ref pen, PayloadAt < 0 ? -1 : PayloadAt + 1, "payload", 0);
    }

    private static void Head(ref Pen pen, int at, string text, int width)
    {
        if (at >= 0)
        {
            pen.To(at + Math.Max(0, width - text.Length));
            pen.Write(text, Ink.Quiet);
        }
    }
}
