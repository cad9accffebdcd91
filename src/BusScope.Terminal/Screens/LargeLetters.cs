using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>Words in letters three rows high on a banner of four, two points a character.</summary>
internal static class LargeLetters
{
    // A letter is six points high and stands one below the upper edge of four rows of two points.
    private const int Rows = 4, Above = 1, Points = 6;

    private static readonly Dictionary<char, string[]> Shapes = new()
    {
        ['G'] = ["####", "#...", "#...", "#.##", "#..#", "####"],
        ['O'] = ["####", "#..#", "#..#", "#..#", "#..#", "####"],
        ['N'] = ["#..#", "##.#", "##.#", "#.##", "#.##", "#..#"],
        ['I'] = ["###", ".#.", ".#.", ".#.", ".#.", "###"],
        ['C'] = ["####", "#...", "#...", "#...", "#...", "####"],
        ['L'] = ["#...", "#...", "#...", "#...", "#...", "####"],
        ['U'] = ["#..#", "#..#", "#..#", "#..#", "#..#", "####"],
        ['S'] = ["####", "#...", "####", "...#", "...#", "####"],
        ['V'] = ["#..#", "#..#", "#..#", "#..#", "#..#", ".##."],
        ['E'] = ["####", "#...", "###.", "#...", "#...", "####"],
        ['A'] = [".##.", "#..#", "#..#", "####", "#..#", "#..#"],
        ['R'] = ["###.", "#..#", "#..#", "###.", "#.#.", "#..#"],
        ['M'] = ["#...#", "##.##", "#.#.#", "#...#", "#...#", "#...#"],
        ['-'] = ["...", "...", "###", "...", "...", "..."],
    };

    /// <summary>Paints a word into the first four rows of an area.</summary>
    /// <returns>The column after it.</returns>
    public static int Paint(Scene scene, Area area, string word, Ink ink)
    {
        var end = 0;
        for (var row = 0; row < Rows; row++)
        {
            var pen = scene.Pen(area, row);
            pen.Write("  ", ink);
            foreach (var letter in word)
            {
                var shape = Shapes[letter];
                for (var column = 0; column < shape[0].Length; column++)
                {
                    pen.Put(Block(scene.Marks, IsSet(shape, column, (row * 2) - Above), IsSet(shape, column, (row * 2) + 1 - Above)), ink);
                }

                pen.Write(" ", ink);
            }

            pen.Put(' ', ink);
            end = pen.Column;
        }

        return end;
    }

    private static bool IsSet(string[] shape, int column, int point) => point is >= 0 and < Points && shape[point][column] == '#';

    private static char Block(Marks marks, bool upper, bool lower) => (upper, lower) switch
    {
        (true, true) => marks.IsAscii ? '#' : '█',
        (true, false) => marks.IsAscii ? '"' : '▀',
        (false, true) => marks.IsAscii ? '_' : '▄',
        _ => ' ',
    };
}
