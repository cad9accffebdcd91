using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What is known of a message beside its bits: which it is, where it is defined, who needs it, when it comes, and whether its protection is right.</summary>
internal static class MessageHeadPainter
{
    /// <summary>Rows that it takes.</summary>
    public const int Rows = 6;

    /// <summary>Paints it.</summary>
    public static void Paint(Scene scene, Area area, MessageHealth message, MessagePlan? plan)
    {
        Title(scene, scene.Pen(area, 0), message);
        State(scene, scene.Pen(area, 1), message);
        Period(scene.Pen(area, 2), message);
        Gaps(scene, scene.Pen(area, 3), message);
        Protection(scene, scene.Pen(area, 4), message, plan);
        var payload = scene.Pen(area, 5);
        payload.Write(" payload ", Ink.Quiet);
        payload.Payload(scene, message);
    }

    private static void Title(Scene scene, Pen pen, MessageHealth message)
    {
        pen.Put(scene.Marks.Rule, Ink.Quiet);
        pen.Put(' ');
        if (message.Definition is { } named)
        {
            pen.Write(named.Name, Ink.Strong, pen.Room / 2);
            pen.Put(' ');
        }

        pen.Identifier(message.Id, Ink.Strong);
        pen.Write(" on ", Ink.Quiet);
        pen.Write(message.Bus, Ink.Plain, 16);
        pen.Put(' ');
        var place = message.Definition is { Place: { File: { Length: > 0 } file } at } ? $"{file}:{at.Line}" : message.Definition is null ? "no definition" : "";
        var room = pen.Room - 3;

        // Of a long path the end tells the file.
        place = place.Length <= room ? place : "..." + place[^Math.Max(0, room - 3)..];
        if (place.Length > 0)
        {
            pen.Put(scene.Marks.Rule, Ink.Quiet, room - place.Length);
            pen.Put(' ');
            pen.Write(place, Ink.Quiet);
            pen.Put(' ');
        }

        pen.Rule();
    }

    private static void State(Scene scene, Pen pen, MessageHealth message)
    {
        pen.Put(' ');
        pen.Put(scene.Marks.Of(message.State), Marks.InkOf(message.State));
        pen.Put(' ');
        pen.Write(message.BusIsSilent ? "bus off" : Marks.Word(message.State), Marks.InkOf(message.State));
        pen.Write("  age ", Ink.Quiet);
        pen.ShortSpan(scene.Model.Age(message), Ink.Strong);
        pen.Write("  frames ", Ink.Quiet);
        pen.Figure(message.Frames, "#,0");
        if (message.Definition is { } definition)
        {
            if (definition.From is { } sender)
            {
                pen.Write("  from ", Ink.Quiet);
                pen.Write(sender);
            }

            if (definition.NeededBy.Count > 0)
            {
                pen.Write("  needed by ", Ink.Quiet);
                for (var i = 0; i < definition.NeededBy.Count; i++)
                {
                    pen.Write(i == 0 ? "" : ", ");
                    pen.Write(definition.NeededBy[i]);
                }
            }
        }
    }

    private static void Period(Pen pen, MessageHealth message)
    {
        pen.Write(" period ", Ink.Quiet);
        pen.FineSpan(message.Period.Median, Ink.Strong);
        pen.Write("  5 % ", Ink.Quiet);
        pen.FineSpan(message.Period.P05);
        pen.Write("  95 % ", Ink.Quiet);
        pen.FineSpan(message.Period.P95);
        pen.Write("  longest ", Ink.Quiet);
        pen.FineSpan(message.Period.Longest);
        if (message.Definition?.Timing.Every is { } every)
        {
            Named(ref pen, "  expected ", every);
        }
    }

    private static void Gaps(Scene scene, Pen pen, MessageHealth message)
    {
        if (message.Definition?.Timing is not { StaleAfter: { } staleAfter } timing)
        {
            pen.Write(" nothing is expected of when it comes", Ink.Quiet);
            return;
        }

        if (timing.LateAfter is { } lateAfter)
        {
            Named(ref pen, " late after ", lateAfter);
            Count(ref pen, ": ", message.LateGaps);
            pen.Write("  ");
        }

        Named(ref pen, " stale after ", staleAfter);
        Count(ref pen, ": ", message.StaleGaps);
        if (message is { LongestLateGap: { } longest, LongestLateGapFrom: { } from })
        {
            Named(ref pen, "   longest ", longest);
            pen.Write(" at ", Ink.Quiet);
            pen.Clock(scene.Model.SinceStart(from));
        }
    }

    // # counter 4, then 5  repeated 0  skipped 0   = checksum right, wrong 0 times, crc8-j1850
    private static void Protection(Scene scene, Pen pen, MessageHealth message, MessagePlan? plan)
    {
        var payload = message.Payload.Span;
        if (plan?.Definition.Counter is null && plan?.Checksum is null)
        {
            pen.Write(" neither counter nor checksum is defined", Ink.Quiet);
        }

        if (plan?.Definition.Counter is not null)
        {
            pen.Write(" # counter ", Ink.Quiet);
            if (plan.Counter(payload) is { } value)
            {
                var next = plan.CounterAfter(value);
                pen.Figure(value, "0", next < 0 ? Ink.Bad : Ink.Strong);
                pen.Write(next < 0 ? ", impossible" : ", then ", next < 0 ? Ink.Bad : Ink.Quiet);
                if (next >= 0)
                {
                    pen.Figure(next, "0");
                }
            }
            else
            {
                pen.Put('-', Ink.Quiet);
            }

            Count(ref pen, "  repeated ", message.CounterRepeated);
            Count(ref pen, "  skipped ", message.CounterSkipped);
            pen.Write("  ");
        }

        if (plan?.Checksum is { } checksum)
        {
            var holds = plan.ChecksumHolds(payload);
            pen.Write(" = checksum ", Ink.Quiet);
            pen.Write(holds switch { true => "right", false => "WRONG", _ => "-" }, holds switch { true => Ink.Good, false => Ink.Bad, _ => Ink.Quiet });
            Count(ref pen, ", wrong ", message.ChecksumBad);
            pen.Put(' ', Ink.Quiet, 2);
            pen.Write(checksum.Definition.Algorithm, Ink.Quiet);
        }

        if (message.WrongLength > 0)
        {
            Count(ref pen, "  wrong length ", message.WrongLength);
        }

        if (message.Senders > 1)
        {
            Count(ref pen, "  senders ", message.Senders);
        }
    }

    private static void Named(ref Pen pen, string name, FrameSpan? span)
    {
        pen.Write(name, Ink.Quiet);
        pen.ShortSpan(span);
    }

    private static void Count(ref Pen pen, string name, long count)
    {
        pen.Write(name, Ink.Quiet);
        pen.Figure(count, "#,0", count > 0 ? Ink.Wary : Ink.Plain);
    }
}
