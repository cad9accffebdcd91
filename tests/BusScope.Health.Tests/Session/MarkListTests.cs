using BusScope.Frames;
using BusScope.Session;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class MarkListTests
{
    private readonly MarkList marks = new();

    [Fact]
    public void Marks_stand_among_the_events_in_order_of_time_with_their_notes()
    {
        marks.Add(At(4), "");
        marks.Add(At(2), "key turned");

        Assert.Equal(["one", "mark: key turned", "three", "mark"], marks.Among([Event(1, "one"), Event(3, "three")], At(5)).Select(each => each.Text));
    }

    [Fact]
    public void A_mark_that_lies_ahead_is_not_among_what_has_happened_but_is_kept()
    {
        marks.Add(At(4), "");

        Assert.Empty(marks.Among([], At(3)));
        Assert.Equal(At(4), Assert.Single(marks.All).At);
    }

    [Fact]
    public void The_list_stays_the_same_while_nothing_is_added()
    {
        SessionEvent[] happened = [Event(1, "one")];
        marks.Add(At(2), "");

        Assert.Same(marks.Among(happened, At(3)), marks.Among(happened, At(4)));
        Assert.Same(happened, marks.Among(happened, At(1)));
    }

    [Fact]
    public void However_many_marks_are_set_the_latest_are_kept()
    {
        for (var i = 0; i < MarkList.Capacity + 5; i++)
        {
            marks.Add(At(i), "");
        }

        Assert.Equal(MarkList.Capacity, marks.All.Count);
        Assert.Equal(At(5), marks.All[0].At);
    }

    private static FrameTime At(double seconds) => new(FrameSpan.FromSeconds(seconds).Nanoseconds);

    private static SessionEvent Event(double seconds, string text) => new(At(seconds), text, FindingSeverity.Note);
}
