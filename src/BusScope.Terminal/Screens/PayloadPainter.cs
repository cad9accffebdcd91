using BusScope.Frames;
using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>Payload bytes in hexadecimal; a byte that changed a moment ago follows a star.</summary>
internal static class PayloadPainter
{
    private const string Digits = "0123456789ABCDEF";

    // Long enough for an eye at the slowest refresh, short enough to mean "now".
    private static readonly FrameSpan Lately = FrameSpan.FromMilliseconds(600);

    /// <summary>Columns that so many bytes take, each with what stands before it.</summary>
    public static int Width(int bytes) => bytes * 3;

    /// <summary>Writes as many bytes as fit; the last that do not are told by a mark.</summary>
    public static void Payload(ref this Pen pen, Scene scene, MessageHealth message)
    {
        var bytes = message.Payload.Span;
        for (var i = 0; i < bytes.Length; i++)
        {
            if (pen.Room < (i == bytes.Length - 1 ? 3 : 4))
            {
                pen.Put(scene.Marks.Cut, Ink.Quiet);
                return;
            }

            pen.Byte(bytes[i], ChangedLately(scene, message, i));
        }
    }

    /// <summary>Writes one byte with what stands before it.</summary>
    public static void Byte(ref this Pen pen, byte value, bool changed)
    {
        var ink = changed ? Ink.Changed : Ink.Plain;
        pen.Put(changed ? '*' : ' ', ink);
        pen.Figure([Digits[value >> 4], Digits[value & 15]], ink);
    }

    /// <summary>How long ago a byte changed last, or null where it never did or nobody asked.</summary>
    public static FrameSpan? SinceChange(Scene scene, MessageHealth message, int index) =>
        index < message.ChangedAt.Length && message.ChangedAt.Span[index] is { IsKnown: true } at && scene.Model.Health.Now is { } now ? now - at : null;

    /// <summary>Whether a byte changed lately: a moment ago, or on the page of changes within its time.</summary>
    public static bool ChangedLately(Scene scene, MessageHealth message, int index) =>
        SinceChange(scene, message, index) is { } since
        && since < (scene.Choice.Page == Page.Changed ? ScreenModel.Lately : Lately);
}
