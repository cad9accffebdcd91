using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using Xunit;

namespace BusScope.Signals.Tests.Editing;

public class DefinitionOutlineTests
{
    private static readonly DefinitionOutline outline = DefinitionOutline.Of(new SourceText("t", """
        busscope: 1
        messages:
            A:
                id: 1        # one
                needed-by:
                    - x
                    - y
                signals:
                    S: { byte: 0 }

            # about B
            B: { id: 2, length: 8 }
        # about the buses
        buses: {}
        """))!;

    [Fact]
    public void A_mapping_ends_behind_its_last_entry_and_before_comments_on_the_next()
    {
        Assert.Equal(new BlockEnd(9, 8), outline.EndOf("messages", "A"));
        Assert.Equal(new BlockEnd(12, 4), outline.EndOf("messages"));
        Assert.Equal(new BlockEnd(9, 12), outline.EndOf("messages", "A", "signals"));
    }

    [Fact]
    public void An_entry_ends_behind_all_that_belongs_to_it()
    {
        Assert.Equal(4, outline.LastLineOf("messages", "A", "id"));
        Assert.Equal(7, outline.LastLineOf("messages", "A", "needed-by"));
        Assert.Null(outline.LastLineOf("messages", "B", "id"));
    }

    [Fact]
    public void A_mapping_in_braces_is_added_to_inside_them()
    {
        Assert.Null(outline.EndOf("messages", "B"));
        Assert.Equal((12, 10), outline.InsideBraces("messages", "B"));
        Assert.Null(outline.InsideBraces("messages", "A"));
    }

    [Fact]
    public void What_is_missing_or_empty_has_no_place()
    {
        Assert.Null(outline.EndOf("modules"));
        Assert.Null(outline.EndOf("buses"));
        Assert.Null(outline.InsideBraces("buses"));
        Assert.Equal(["busscope", "messages", "buses"], outline.Keys());
    }
}
