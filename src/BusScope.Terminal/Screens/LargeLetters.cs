using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>Words in letters three rows high, two points a character.</summary>
internal static class LargeLetters
{
    private const int Points = 5;

    private static readonly Dictionary<char, string[]> Shapes = new()
    {
        ['G'] = ["####", "#...", "#.##", "#..#", "####"],
        ['O'] = ["####", "#..#", "#..#", "#..#", "####"],
        ['N'] = ["#..#", "##.#", "####", "#.##", "#..#"],
        ['E'] = ["####", "#...", "###.", "#...", "####"],
        ['I'] = ["###", ".#.", ".#.", ".#.", "###"],
        ['C'] = ["####", "#...", "#...", "#...", "####"],
        ['L'] = ["#...", "#...", "#...", "#...", "####"],
        ['U'] = ["#..#", "#..#", "#..#", "#..#", "####"],
        ['S'] = ["####", "#...", "####", "...#", "####"],
        ['V'] = ["#..#", "#..#", "#..#", "#..#", ".##."],
        ['-'] = ["...", "...", "###", "...", "..."],
    };

    /// <summary>Paints a word into the first three rows of an area.</summary>
    /// <returns>The column after it.</returns>
    public static int Paint(Scene scene, Area area, string word, Ink ink)
    {
        var end = 0;
        for (var row = 0; row < 3; row++)
        {
            var pen = scene.Pen(area, row);
            pen.Write("  ", ink);
            foreach (var letter in word)
            {
                var shape = Shapes[letter];
                for (var column = 0; column < shape[0].Length; column++)
                {
                    pen.Put(Block(scene.Marks, IsSet(shape, column, row * 2), IsSet(shape, column, (row * 2) + 1)), ink);
                }

                pen.Write(" ", ink);
            }

            pen.Put(' ', ink);
            end = pen.Column;
        }

        return end;
    }

    private static bool IsSet(string[] shape, int column, int point) => point < Points && shape[point][column] == '#';

    private static char Block(Marks marks, bool upper, bool lower) => (upper, lower) switch
    {
        (true, true) => marks.IsAscii ? '#' : '█',
        (true, false) => marks.IsAscii ? '"' : '▀',
        (false, true) => marks.IsAscii ? '_' : '▄',
        _ => ' ',
    };
}
