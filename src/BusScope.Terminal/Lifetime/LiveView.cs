using BusScope.Terminal.Drawing;
using Terminal.Gui.Drawing;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace BusScope.Terminal.Lifetime;

/// <summary>
/// Puts a sheet on the terminal, which it fills: only cells that differ from what stands there are sent, a picture in one piece, so that a quiet
/// bus costs nothing and a busy one little (docs/decisions/0401-terminal-gui.md, 0402-changed-cells.md). The library's own buffer is kept true
/// and has nothing left to send. On the screen's thread alone.
/// </summary>
internal abstract class LiveView(Theme theme) : Runnable
{
    // One string for each character: a new one a cell would be the largest cost of the picture.
    private static readonly string?[] Graphemes = new string?[char.MaxValue + 1];

    private readonly Sheet shown = new();
    private readonly Sheet next = new();
    private bool[] changed = [];
    private InkCodes? codes;
    private CellWriter? writer;

    /// <summary>What stands on the screen.</summary>
    protected Sheet Shown => shown;

    /// <summary>Whether figures of the latest picture were held back.</summary>
    protected bool IsHolding { get; private set; }

    /// <summary>How many characters the latest picture took to send.</summary>
    internal int Sent { get; private set; }

    /// <summary>Fills the cleared sheet.</summary>
    protected abstract void Paint(Sheet sheet);

    /// <summary>Asked once a picture: whether rows in which nothing but figures is new are to be shown too. Where they are, their time begins anew.</summary>
    protected abstract bool TakeTurnOfFigures();

    /// <inheritdoc/>
    protected override bool OnClearingViewport() => true;

    /// <inheritdoc/>
    protected override bool OnDrawingContent(DrawContext? context)
    {
        if (App?.Driver is not { } driver || driver.GetOutputBuffer() is not { Contents: { } cells } buffer)
        {
            return true;
        }

        codes ??= new InkCodes(theme, driver.Force16Colors);
        writer ??= new CellWriter(codes);
        Resize(Math.Min(Viewport.Width, cells.GetLength(1)), Math.Min(Viewport.Height, cells.GetLength(0)));
        Paint(next);
        var areFiguresDue = TakeTurnOfFigures();
        (IsHolding, Sent) = (false, 0);
        for (var row = 0; row < next.Height; row++)
        {
            PlainBlanks(row);

            // A row that the library dirtied was cleared: nobody knows what stands there.
            if (!buffer.DirtyLines[row] && next.IsRowOf(shown, row))
            {
                continue;
            }

            if (!buffer.DirtyLines[row] && !areFiguresDue && next.IsRowOfButForFigures(shown, row))
            {
                IsHolding = true;
                continue;
            }

            Take(cells, row, isUnknown: buffer.DirtyLines[row]);
            buffer.DirtyLines[row] = false;
            shown.TakeRow(next, row);
        }

        var told = writer.Write(shown, changed.AsSpan(0, shown.Width * shown.Height));
        if (!told.IsEmpty)
        {
            Sent = told.Length;
            driver.GetOutput().Write(told);
        }

        return true;
    }

    private void Resize(int width, int height)
    {
        next.Clear(width, height);
        if (shown.Width != next.Width || shown.Height != next.Height)
        {
            shown.Clear(width, height);
            changed = new bool[next.Width * next.Height];
        }
    }

    // A blank looks alike in every ink that has no paper, and need not be sent for another.
    private void PlainBlanks(int row)
    {
        var characters = next.Characters(row);
        var inks = next.Inks(row);
        for (var column = characters.IndexOf(' '); column >= 0 && column < characters.Length; column++)
        {
            if (characters[column] == ' ' && !codes!.HasPaper(inks[column]))
            {
                inks[column] = Ink.Plain;
            }
        }
    }

    private void Take(Cell[,] cells, int row, bool isUnknown)
    {
        var characters = next.Characters(row);
        var inks = next.Inks(row);
        for (var column = 0; column < characters.Length; column++)
        {
            ref var cell = ref cells[row, column];
            var (character, attribute) = (characters[column], theme[inks[column]]);
            if (isUnknown || cell.Attribute != attribute || cell.Grapheme is not [var stands] || stands != character)
            {
                var grapheme = Graphemes[character] ??= character.ToString();
                (cell.Grapheme, cell.Attribute, cell.IsDirty) = (grapheme, attribute, false);
                changed[(row * next.Width) + column] = true;
            }
        }
    }
}
