using System.Globalization;

namespace BusScope.Terminal.Tests;

/// <summary>
/// A terminal of its own, as ECMA-48 has it, that knows cursor position (CUP), cursor forward (CUF) and graphic renditions (SGR) and no other
/// sequence. It refuses what is undefined: to write behind the last column, or to move where the cursor was never placed.
/// </summary>
internal sealed class SmallTerminal(int width, int height)
{
    private readonly (char Character, string Look)[,] cells = new (char, string)[height, width];
    private (int Row, int Column)? cursor;
    private string look = "";

    /// <summary>The character and the rendition at a place; blank and none at the beginning.</summary>
    public (char Character, string Look) At(int row, int column) => cells[row, column] is ('\0', _) ? (' ', "") : cells[row, column];

    /// <summary>The rendition that is on.</summary>
    public string Look => look;

    public void Take(string text)
    {
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] != '\e')
            {
                var (row, column) = cursor ?? throw new InvalidOperationException("nobody placed the cursor");
                cells[row, column] = (text[i], look);
                cursor = column + 1 < width ? (row, column + 1) : null;
                continue;
            }

            var end = text.IndexOfAny(['m', 'H', 'C'], i + 2);
            Obey(text[end], text[(i + 2)..end]);
            i = end;
        }
    }

    private void Obey(char function, string parameters)
    {
        switch (function)
        {
            case 'm':
                // An empty parameter is 0, and 0 turns everything off.
                look = parameters.StartsWith(';') ? parameters[1..] : parameters.Length == 0 ? "" : throw new InvalidOperationException("not from nothing");
                break;
            case 'H':
                var place = parameters.Split(';');
                cursor = (Number(place[0]) - 1, Number(place[1]) - 1);
                break;
            default:
                var (row, column) = cursor ?? throw new InvalidOperationException("nobody placed the cursor");
                cursor = (row, column + (parameters.Length == 0 ? 1 : Number(parameters)));
                break;
        }
    }

    private static int Number(string text) => int.Parse(text, CultureInfo.InvariantCulture);
}
