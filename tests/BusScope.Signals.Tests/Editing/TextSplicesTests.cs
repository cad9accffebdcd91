using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Editing;

public class TextSplicesTests
{
    [Fact]
    public void What_was_there_stays_whatever_is_added() =>
        (from lines in Gen.OneOf(Gen.Const("a: 1"), Gen.Const(""), Gen.Const("  # note")).List[1, 8]
         from places in Gen.Int[0, 8].List[0, 5]
         from ended in Gen.Bool
         select (lines, places, ended)).Sample((lines, places, ended) =>
        {
            var text = string.Join('\n', lines) + (ended ? "\n" : "");
            var source = new SourceText("t", text);
            var splices = new TextSplices();
            foreach (var place in places.Where(place => place <= source.LineCount))
            {
                splices.Behind(place, "new\n");
            }

            var after = splices.Apply(source);

            Assert.Equal(text.TrimEnd('\n'), string.Join('\n', after.Split('\n').Where(line => line != "new")).TrimEnd('\n'));
            Assert.Equal(places.Count(place => place <= source.LineCount), after.Split('\n').Count(line => line == "new"));
        });

    [Fact]
    public void Characters_are_put_before_a_column_and_lines_behind_a_line()
    {
        var splices = new TextSplices();
        splices.Behind(1, "b: 2\n");
        splices.Before(1, 4, "x: 0, ");
        splices.Before(1, 4, "y: 0, ");

        Assert.Equal("{ ax: 0, y: 0, : 1 }\nb: 2\nc: 3", splices.Apply(new SourceText("t", "{ a: 1 }\nc: 3")));
    }
}
