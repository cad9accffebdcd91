using BusScope.Terminal.Drawing;
using BusScope.Terminal.Lifetime;
using CsCheck;
using Xunit;

namespace BusScope.Terminal.Tests;

public sealed class CellWriterTests
{
    private const int Width = 12, Height = 4;

    private static InkCodes Codes(bool isMonochrome = false) => new(isMonochrome ? Theme.Monochrome : Theme.Coloured, hasFewColours: false);

    // Rows of text, each character in the ink that its place in a second row tells: p plain, s strong, n note, b a banner.
    private static Sheet Of(params (string Text, string Inks)[] rows)
    {
        var sheet = new Sheet();
        sheet.Clear(Width, Height);
        for (var row = 0; row < rows.Length; row++)
        {
            for (var column = 0; column < rows[row].Text.Length; column++)
            {
                sheet.Characters(row)[column] = rows[row].Text[column];
                sheet.Inks(row)[column] = rows[row].Inks[column] switch { 's' => Ink.Strong, 'n' => Ink.Note, 'b' => Ink.BadBanner, _ => Ink.Plain };
            }
        }

        return sheet;
    }

    private static string Told(Sheet sheet, params (int Row, int Column)[] changed)
    {
        var flags = new bool[Width * Height];
        foreach (var (row, column) in changed)
        {
            flags[(row * Width) + column] = true;
        }

        var told = new CellWriter(Codes()).Write(sheet, flags).ToString();
        Assert.DoesNotContain(true, flags);
        return told.Replace('\e', '^');
    }

    [Fact]
    public void Whatever_changes_the_terminal_shows_the_sheet()
    {
        var cell = Gen.Select(Gen.OneOf(Gen.Const(' '), Gen.Char['a', 'c'], Gen.Const('█')), Gen.Enum<Ink>(), Gen.Bool);
        Gen.Select(cell.Array[Width * Height].Array[1, 4], Gen.Bool).Sample((pictures, isMonochrome) =>
        {
            var codes = Codes(isMonochrome);
            var writer = new CellWriter(codes);
            var terminal = new SmallTerminal(Width, Height);
            var sheet = new Sheet();
            sheet.Clear(Width, Height);
            foreach (var picture in pictures)
            {
                var changed = new bool[Width * Height];
                for (var i = 0; i < picture.Length; i++)
                {
                    var (character, ink, isOther) = picture[i];
                    if (isOther)
                    {
                        sheet.Characters(i / Width)[i % Width] = character;
                        sheet.Inks(i / Width)[i % Width] = character == ' ' && !codes.HasPaper(ink) ? Ink.Plain : ink;
                        changed[i] = true;
                    }
                }

                terminal.Take(writer.Write(sheet, changed).ToString());

                Assert.Equal("", terminal.Look);
                for (var i = 0; i < changed.Length; i++)
                {
                    var ink = sheet.Inks(i / Width)[i % Width];
                    var (character, look) = terminal.At(i / Width, i % Width);
                    Assert.Equal(sheet.Characters(i / Width)[i % Width], character);
                    Assert.True(character == ' ' && !codes.HasPaper(ink) ? IsUnseen(look) : $"\e[{(look.Length > 0 ? ";" : "")}{look}m" == codes[ink]);
                }
            }
        });
    }

    // Of a blank only paper, a line below it and reversal are seen.
    private static bool IsUnseen(string look) => !look.Contains("48;", StringComparison.Ordinal) && !look.Split(';').Intersect(["4", "7"]).Any();

    [Fact]
    public void Nothing_changed_takes_nothing() => Assert.Equal("", Told(Of(("abc", "pns"))));

    [Fact]
    public void Each_ink_is_turned_on_once_however_often_it_changes_on_the_way() =>
        Assert.Equal("^[;38;2;86;180;233m^[1;2Hb^[2;2Hb^[;1m^[1;1Ha^[2;1Ha^[m", Told(Of(("ab", "sn"), ("ab", "sn")), (0, 0), (0, 1), (1, 0), (1, 1)));

    [Fact]
    public void Cells_of_the_same_ink_are_sent_again_where_that_is_no_longer_than_to_move_on()
    {
        Assert.Equal("^[1;1Habcde", Told(Of(("abcde", "ppppp")), (0, 0), (0, 4)));
        Assert.Equal("^[1;1Ha^[7Cg", Told(Of(("a1234567g", "ppppppppp")), (0, 0), (0, 8)));
        Assert.Equal("^[1;1Ha^[2Cb", Told(Of(("a██b", "pppp")), (0, 0), (0, 3)));
        Assert.Equal("^[1;1Ha^[2Cb", Told(Of(("axxb", "pssp")), (0, 0), (0, 3)));
    }

    [Fact]
    public void Blanks_go_with_any_ink_that_has_no_paper_and_with_no_other()
    {
        Assert.Equal("^[;1m^[1;1Ha b^[m", Told(Of(("a b", "sps")), (0, 0), (0, 1), (0, 2)));
        Assert.Equal("^[;1;38;2;0;0;0;48;2;213;94;0m^[1;1Ha^[Cb^[m^[1;2H ", Told(Of(("a b", "bpb")), (0, 0), (0, 1), (0, 2)));
    }

    [Fact]
    public void Behind_the_last_column_the_cursor_is_placed_anew() =>
        Assert.Equal("^[1;12Ha^[2;1Hb", Told(Of(("           a", "pppppppppppp"), ("b", "p")), (0, 11), (1, 0)));

    [Fact]
    public void Where_the_terminal_has_sixteen_colours_one_of_them_is_named()
    {
        var codes = new InkCodes(Theme.Coloured, hasFewColours: true);

        Assert.All(Enum.GetValues<Ink>(), ink => Assert.DoesNotContain(";2;", codes[ink].Replace(";2m", "", StringComparison.Ordinal), StringComparison.Ordinal));
        Assert.Matches("^\e\\[;(3|9)[0-7]m$", codes[Ink.Good]);
        Assert.Matches("^\e\\[;1;30;(4|10)[0-7]m$", codes[Ink.BadBanner]);
    }
}
