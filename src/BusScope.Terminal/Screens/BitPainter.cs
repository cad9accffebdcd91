using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Definitions;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// A payload as a grid: a row a byte in hexadecimal and bit by bit, each bit with the letter of its signal, a wall where another
/// signal begins, where there is room also above and below, a star where it just changed, and the cursor before the chosen one.
/// </summary>
internal static class BitPainter
{
    /// <summary>Columns of a grid: byte, hexadecimal, eight bits and the last wall.</summary>
    public const int Width = 41;

    private const int BeforeBits = 8;

    // Long enough for an eye at the slowest refresh, short enough to mean "now".
    private static readonly FrameSpan Lately = FrameSpan.FromMilliseconds(600);

    /// <summary>Paints as many bytes as there are rows under the head, from the one that was scrolled to.</summary>
    /// <param name="scene">Where and what.</param>
    /// <param name="area">One grid beside the other.</param>
    /// <param name="message">The message.</param>
    /// <param name="legend">Which signal each bit belongs to.</param>
    /// <param name="changes">Which bits changed.</param>
    /// <param name="bytes">Bytes that there are.</param>
    /// <param name="first">The first byte shown.</param>
    /// <param name="isRuled">Whether a row between two bytes tells where another signal begins.</param>
    public static void Paint(Scene scene, Area area, MessageHealth message, BitLegend legend, BitChanges changes, int bytes, int first, bool isRuled)
    {
        var each = isRuled ? 2 : 1;
        var room = isRuled ? area.Height / 2 : area.Height - 1;
        for (var grid = 0; (grid + 1) * Width <= area.Width; grid++)
        {
            var own = area with { Left = area.Left + (grid * Width), Width = Width };
            if (first + (grid * room) >= bytes)
            {
                return;
            }

            Heads(scene.Pen(own, 0));
            for (var row = 0; row < room && first + (grid * room) + row < bytes; row++)
            {
                var inByte = first + (grid * room) + row;
                Row(scene, scene.Pen(own.Below(1), row * each), message, legend, changes, inByte);
                if (isRuled && inByte + 1 < bytes)
                {
                    Rule(scene, scene.Pen(own.Below(1), (row * each) + 1), legend, inByte);
                }
            }
        }
    }

    private static void Heads(Pen pen)
    {
        pen.Write("byte", Ink.Quiet);
        for (var bit = 7; bit >= 0; bit--)
        {
            pen.To(BeforeBits + ((7 - bit) * 4) + 1);
            pen.Put((char)('0' + bit), Ink.Quiet);
        }
    }

    private static void Row(Scene scene, Pen pen, MessageHealth message, BitLegend legend, BitChanges changes, int inByte)
    {
        var payload = message.Payload.Span;
        pen.Figure(inByte, "0", inByte == scene.Choice.Bit.Byte ? Ink.Key : Ink.Quiet, 3);
        pen.Put(' ');
        if (inByte < payload.Length)
        {
            pen.Byte(payload[inByte], PayloadPainter.ChangedLately(scene, message, inByte));
        }

        pen.To(BeforeBits);
        var before = '\0';
        for (var bit = 7; bit >= 0; bit--)
        {
            var at = new BitPosition(inByte, bit);
            var letter = legend.At(at);
            var isCursor = at == scene.Choice.Bit;
            pen.Put(isCursor ? scene.Marks.Chosen : letter != before ? scene.Marks.Wall : ' ', isCursor ? Ink.Key : Ink.Quiet);
            var isNew = changes.Since(inByte, bit) is { } since && since < Lately;
            var ink = isNew ? Ink.Changed : letter == BitLegend.Draft ? Ink.Key : EverChanged(message, inByte, bit) ? Ink.Strong : Ink.Quiet;
            pen.Put(inByte >= payload.Length ? scene.Marks.Dot : (payload[inByte] >> bit & 1) == 1 ? '1' : '0', ink);
            pen.Put(letter, letter == BitLegend.Draft ? Ink.Key : Ink.Note);
            pen.Put(isNew ? '*' : ' ', Ink.Changed);
            before = letter;
        }

        pen.Put(scene.Marks.Wall, Ink.Quiet);
    }

    // Under the bits of one signal and above those of another; the walls between signals go on through it.
    private static void Rule(Scene scene, Pen pen, BitLegend legend, int inByte)
    {
        pen.To(BeforeBits);
        var (before, beforeBelow, wasRuled) = ('\0', '\0', false);
        for (var bit = 7; bit >= 0; bit--)
        {
            var (letter, below) = (legend.At(new BitPosition(inByte, bit)), legend.At(new BitPosition(inByte + 1, bit)));
            var isRuled = letter != below;
            var isWall = letter != before && below != beforeBelow;
            pen.Put(isWall && !(isRuled || wasRuled) ? scene.Marks.Wall : isRuled || wasRuled ? scene.Marks.Rule : ' ', Ink.Quiet);
            pen.Put(isRuled ? scene.Marks.Rule : ' ', Ink.Quiet, 3);
            (before, beforeBelow, wasRuled) = (letter, below, isRuled);
        }

        pen.Put(wasRuled ? scene.Marks.Rule : scene.Marks.Wall, Ink.Quiet);
    }

    private static bool EverChanged(MessageHealth message, int inByte, int bit) =>
        inByte < message.ChangedBits.Length && (message.ChangedBits.Span[inByte] >> bit & 1) == 1;
}
