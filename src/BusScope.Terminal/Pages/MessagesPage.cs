using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>Messages, and beside them the signals or the bytes of the chosen one: those that no definition claims, or whose bytes just changed.</summary>
/// <param name="desk">Where the pages lie.</param>
/// <param name="kind">Which messages.</param>
internal class MessagesPage(Desk desk, Page kind) : ScreenPage(desk)
{
    /// <inheritdoc/>
    public sealed override Page Kind => kind;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Up Dn", "line", 1), new("Tab", "part", 3), new("Enter", "open it", 1), new("/", "filter", 1), new("o", "order", 2), new("A", "alarm", 4),
        new("Space", "stop", 3, ForReplay: true), new("Esc", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <summary>The first of the parts that the arrow keys can go to, as a <see cref="Part"/>.</summary>
    protected virtual int FirstPart => (int)Part.Messages;

    /// <inheritdoc/>
    public override void Open() => Choice.Part = Part.Messages;

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        MessagePainter.Paint(scene, layout.Messages);
        Wall(scene, layout);
        DetailPainter.Paint(scene, layout.Details);
        EventPainter.Latest(scene, layout.Events);
        PageRows = Math.Max(1, layout.Messages.Height - 2);
    }

    /// <inheritdoc/>
    public override void Move(int rows)
    {
        if (Choice.Part == Part.Messages && Model.Messages.Count > 0)
        {
            var index = Model.Messages[Math.Clamp(Model.MessageRow + rows, 0, Model.Messages.Count - 1)];
            Choice.Message = MessageKey.Of(Model.Health.Messages[index]);
            Choice.Scroll[2] = 0;
        }
        else
        {
            Choice.Scroll[2] = Math.Max(0, Choice.Scroll[2] + rows);
        }
    }

    /// <inheritdoc/>
    public override bool Do(KeyAction action)
    {
        switch (action)
        {
            case KeyAction.NextPart: Go(1); return true;
            case KeyAction.PartBefore: Go(-1); return true;
            case KeyAction.Into: Into(); return true;
            case KeyAction.AlarmOnThis when Model.Message is { } message: AlarmKeys.OnThis(Choice, message, Desk.Hands); return true;
            default: return false;
        }
    }

    /// <summary>To what the chosen line is about: the page of the message.</summary>
    protected virtual void Into()
    {
        if (Model.Message is { } message)
        {
            Jump.Open(Choice, message);
        }
    }

    /// <summary>To the next part, or the one before.</summary>
    protected void Go(int parts)
    {
        var count = (int)Part.Details + 1 - FirstPart;
        Choice.Part = (Part)(((int)Choice.Part - FirstPart + parts + count) % count + FirstPart);
    }

    // Between parts that stand side by side.
    private static void Wall(Scene scene, Layout layout)
    {
        var area = layout.Details.Top == layout.Messages.Top
            ? layout.Details with { Left = layout.Details.Left - 1, Width = 1 }
            : layout.Body with { Left = layout.Messages.Left - 1, Width = 1 };
        for (var row = 0; row < area.Height; row++)
        {
            scene.Pen(area, row).Put(row == 0 && layout.Details.Top == layout.Messages.Top ? scene.Marks.Junction : scene.Marks.Wall, Ink.Quiet);
        }
    }
}
