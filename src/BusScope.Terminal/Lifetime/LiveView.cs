using System.Drawing;
using BusScope.Terminal.Drawing;
using Terminal.Gui.Drawing;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;
using Attribute = Terminal.Gui.Drawing.Attribute;

namespace BusScope.Terminal.Lifetime;

/// <summary>
/// Puts a sheet on the terminal: only cells that differ from what stands there are written and sent, so that a quiet bus
/// costs nothing and a busy one little (docs/decisions/0401-terminal-gui.md). On the screen's thread alone.
/// </summary>
internal abstract class LiveView(Theme theme) : Runnable
{
    // One string for each character: a new one a cell would be the largest cost of the picture.
    private static readonly string?[] Graphemes = new string?[char.MaxValue + 1];

    // ESC [ row ; column H: as many characters as move the cursor.
    private const int LongestBridge = 8;

    private readonly Sheet sheet = new();

    /// <summary>What stands on the screen.</summary>
    protected Sheet Shown => sheet;

    /// <summary>Fills the cleared sheet.</summary>
    protected abstract void Paint(Sheet sheet);

    /// <inheritdoc/>
    protected override bool OnClearingViewport() => true;

    /// <inheritdoc/>
    protected override bool OnDrawingContent(DrawContext? context)
    {
        if (App?.Driver is not { } driver)
        {
            return true;
        }

        sheet.Clear(Viewport.Width, Viewport.Height);
        Paint(sheet);
        var buffer = driver.GetOutputBuffer();
        if (buffer.Contents is not { } cells)
        {
            return true;
        }

        var origin = ViewportToScreen(Point.Empty);
        var rows = Math.Min(sheet.Height, cells.GetLength(0) - origin.Y);
        var columns = Math.Min(sheet.Width, cells.GetLength(1) - origin.X);
        for (var row = 0; row < rows; row++)
        {
            var characters = sheet.Characters(row);
            var inks = sheet.Inks(row);
            var last = -1;
            for (var column = 0; column < columns; column++)
            {
                if (Set(ref cells[origin.Y + row, origin.X + column], characters[column], theme[inks[column]]))
                {
                    Bridge(cells, origin.Y + row, origin.X, last, column);
                    last = column;
                }
            }

            buffer.DirtyLines[origin.Y + row] |= last >= 0;
        }

        return true;
    }

    // To send a few cells again costs less than to move the cursor over them, where they look alike.
    private static void Bridge(Cell[,] cells, int row, int left, int from, int to)
    {
        if (from < 0 || to - from > LongestBridge)
        {
            return;
        }

        var attribute = cells[row, left + from].Attribute;
        for (var column = from + 1; column <= to; column++)
        {
            if (cells[row, left + column].Attribute != attribute)
            {
                return;
            }
        }

        for (var column = from + 1; column < to; column++)
        {
            cells[row, left + column].IsDirty = true;
        }
    }

    private static bool Set(ref Cell cell, char character, Attribute attribute)
    {
        if (cell.Attribute == attribute && cell.Grapheme is [var shown] && shown == character)
        {
            return false;
        }

        var grapheme = Graphemes[character] ??= character.ToString();
        (cell.Grapheme, cell.Attribute, cell.IsDirty) = (grapheme, attribute, true);
        return true;
    }
}
