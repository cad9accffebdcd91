using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>All events, newest first.</summary>
internal sealed class EventsPage(Desk desk) : ScreenPage(desk)
{
    /// <inheritdoc/>
    public override Page Kind => Page.Events;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Up Dn", "line", 1), new("Enter", "go to it", 1), new("j", "its moment", 2, ForReplay: true), new("/", "filter", 1), new("n", "mark", 1), new("a", "alarm", 2), new("Space", "stop", 3, ForReplay: true),
        new("e", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        EventPainter.Page(scene, layout.Body);
        PageRows = Math.Max(1, layout.Body.Height - 1);
    }

    /// <inheritdoc/>
    public override void Move(int rows)
    {
        if (Model.Events.Count > 0)
        {
            var row = Math.Clamp(Model.EventRow + rows, 0, Model.Events.Count - 1);

            // The newest is followed as others come.
            Choice.Event = row == 0 ? null : Model.Snapshot.Events[Model.Events[row]];
        }
    }

    /// <inheritdoc/>
    public override bool Do(KeyAction action)
    {
        if (action == KeyAction.Into && Model.Event is { } happened && !Jump.To(Choice, Model, happened))
        {
            Desk.Hands.Say("a mark is about no message", Ink.Note);
        }

        if (action == KeyAction.ToMoment && Model.Event is { } past)
        {
            Desk.Jumps.To(past);
        }

        return action is KeyAction.Into or KeyAction.ToMoment;
    }
}
