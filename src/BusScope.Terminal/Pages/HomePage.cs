using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>Modules, the messages of the chosen module, and the signals of the chosen message.</summary>
internal sealed class HomePage(Desk desk) : MessagesPage(desk, Page.Home)
{
    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Tab", "part", 3), new("Enter", "open", 4), new("Up Dn", "line", 7), new("/", "filter", 2), new("v", "signals", 1), new("b", "buses", 1), new("e", "events", 1), new("u", "unknown", 4),
        new("c", "changed", 3), new("o", "order", 6), new("n", "mark", 5), new("a", "alarm", 4), new("Space", "stop", 2, ForReplay: true),
        new("sr", "step", 4, ForReplay: true), new("g", "go to", 4, ForReplay: true), new("f", "finding", 6, ForReplay: true), new("+-", "speed", 3, ForReplay: true), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    protected override int FirstPart => Model.HasModules ? 0 : 1;

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        if (!layout.Modules.IsEmpty)
        {
            ModulePainter.Paint(scene, layout.Modules, layout.IsTall || layout.Modules.Width < scene.Sheet.Width);
        }

        base.Paint(scene, layout);
        PageRows = Choice.Part == Part.Modules ? Math.Max(1, layout.Modules.Height - 1) : PageRows;
    }

    /// <inheritdoc/>
    public override void Move(int rows)
    {
        if (Choice.Part != Part.Modules)
        {
            base.Move(rows);
            return;
        }

        var index = Model.Modules[Math.Clamp(Model.ModuleRow + rows, 0, Model.Modules.Count - 1)];
        Choice.Module = index == ScreenModel.Everything ? null : Model.Health.Modules[index].Definition.Name;
        (Choice.HasModule, Choice.Message) = (true, null);
        (Choice.Scroll[1], Choice.Scroll[2]) = (0, 0);
    }

    /// <inheritdoc/>
    protected override void Into()
    {
        if (Choice.Part == Part.Modules)
        {
            Go(1);
        }
        else
        {
            base.Into();
        }
    }
}
