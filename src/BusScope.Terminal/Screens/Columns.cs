using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>Which columns of the message list are shown, and where, at a given width: the least needed go first.</summary>
internal readonly record struct Columns
{
    /// <summary>Columns of a bus name and the blank behind it.</summary>
    public const int BusWidth = 9;

    private const int StateWidth = 10;
    private const int LeastName = 19;

    // "500 ms/20 ms", and what a name is left with beside it.
    private const int PeriodAndMeant = 12, ShortName = 14;
    private const int MostName = 34;

    public int State { get; private init; }

    public int NameAt { get; private init; }

    public int Name { get; private init; }

    public int IdAt { get; private init; }

    public int BusAt { get; private init; }

    /// <summary>How long ago a byte changed; on the page of changes alone.</summary>
    public int ChangedAt { get; private init; }

    public int AgeAt { get; private init; }

    public int PeriodAt { get; private init; }

    /// <summary>Columns that the period takes: more where what is meant stands behind it.</summary>
    public int Period { get; private init; }

    /// <summary>Whether what is meant stands behind the period of a message that does not keep it, for want of a column of its own.</summary>
    public bool IsMeantBehind => Period > Figures.SpanWidth;

    public int ExpectedAt { get; private init; }

    public int LongestAt { get; private init; }

    public int PayloadAt { get; private init; }

    public static Columns For(Scene scene, int width)
    {
        var model = scene.Model;
        var id = model.HasLongIdentifiers ? 11 : 6;
        var span = Figures.SpanWidth + 1;
        if (scene.Choice.Page == Page.Changed)
        {
            return Changed(model, width, id, span);
        }

        if (!model.HasDefinitions || scene.Choice.Page == Page.Unknown)
        {
            var bus = model.Health.Buses.Count > 1 && width >= 1 + id + BusWidth + (2 * span) + PayloadPainter.Width(8);
            var at = 1 + id + (bus ? BusWidth : 0);
            var longest = width >= at + (3 * span) + PayloadPainter.Width(8);
            return new Columns
            {
                State = -1,
                ChangedAt = -1,
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
        var isBehind = !hasExpected && IsAnyOffTime(model);
        var name = LeastName + Math.Clamp(left - (isBehind ? PeriodAndMeant - Figures.SpanWidth : 0), isBehind ? ShortName - LeastName : 0, MostName - LeastName);
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
            ChangedAt = -1,
            NameAt = 1 + StateWidth - 1,
            Name = name,
            IdAt = Place(hasId, id),
            BusAt = Place(hasBus, BusWidth),
            AgeAt = Place(true, span),
            PeriodAt = Place(true, isBehind ? PeriodAndMeant + 1 : span),
            Period = isBehind ? PeriodAndMeant : Figures.SpanWidth,
            ExpectedAt = Place(hasExpected, span),
            LongestAt = Place(hasLongest, span),
            PayloadAt = Place(hasPayload, 0),
        };
    }

    private static bool IsAnyOffTime(ScreenModel model)
    {
        for (var i = 0; i < model.Messages.Count; i++)
        {
            if (Faults.IsOffTime(model.Health, model.Health.Messages[model.Messages[i]]))
            {
                return true;
            }
        }

        return false;
    }

    // Name, time since the change and payload always; then bus, identifier, period.
    private static Columns Changed(ScreenModel model, int width, int id, int span)
    {
        var left = width - 1 - LeastName - span - PayloadPainter.Width(8);
        bool Take(int columns, bool wanted = true)
        {
            var taken = wanted && left >= columns;
            left -= taken ? columns : 0;
            return taken;
        }

        var hasBus = Take(BusWidth, model.Health.Buses.Count > 1);
        var hasId = Take(id, model.HasDefinitions);
        var hasPeriod = Take(span);
        var name = LeastName + Math.Clamp(left, 0, MostName - LeastName);
        var at = 1 + name;
        var (idAt, busAt) = (hasId ? at : -1, hasBus ? at + (hasId ? id : 0) : -1);
        at += (hasId ? id : 0) + (hasBus ? BusWidth : 0);
        return new Columns
        {
            State = -1,
            NameAt = 0,
            Name = name,
            IdAt = idAt,
            BusAt = busAt,
            ChangedAt = at,
            AgeAt = -1,
            PeriodAt = hasPeriod ? at + span : -1,
            ExpectedAt = -1,
            LongestAt = -1,
            PayloadAt = at + span + (hasPeriod ? span : 0) - 1,
        };
    }

    public void Heads(ref Pen pen)
    {
        Head(ref pen, State < 0 ? -1 : 3, "state", 0);
        Head(ref pen, Name > 0 ? NameAt + 2 : -1, "message", 0);
        Head(ref pen, IdAt, "id", 0);
        Head(ref pen, BusAt, "bus", 0);
        Head(ref pen, ChangedAt, "changed", Figures.SpanWidth);
        Head(ref pen, AgeAt, "age", Figures.SpanWidth);
        Head(ref pen, PeriodAt, IsMeantBehind ? "period/meant" : "period", IsMeantBehind ? Period : Figures.SpanWidth);
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
