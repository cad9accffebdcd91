using BusScope.Session;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;
using Terminal.Gui.Input;

namespace BusScope.Terminal.Lifetime;

/// <summary>The one window: keys in, pictures out.</summary>
internal sealed class ScreenWindow : LiveView
{
    private readonly Func<SessionSnapshot> latest;
    private readonly Choice choice = new();
    private readonly ScreenModel model;
    private readonly Desk desk;
    private readonly Marks marks;
    private readonly string? caution;
    private readonly bool isReplay;
    private SessionSnapshot shown;
    private int shownVersion = -1;

    /// <summary>A window over whatever snapshot is the latest.</summary>
    public ScreenWindow(Func<SessionSnapshot> latest, ReplayPace? pace, ScreenOptions options)
        : base(options.IsMonochrome ? Theme.Monochrome : Theme.Coloured)
    {
        this.latest = latest;
        shown = latest();
        model = new ScreenModel(shown);
        desk = new Desk(choice, model, pace);
        marks = options.IsAscii ? Marks.Plain : Marks.Full;
        caution = options.Caution;
        isReplay = pace is not null;
        CanFocus = true;
    }

    /// <summary>Raised when the person wants to leave.</summary>
    public event Action? Leaving;

    /// <summary>Asks for a new picture where there is anything new to show.</summary>
    public void Refresh()
    {
        var snapshot = latest();
        if (!ReferenceEquals(snapshot, shown) || choice.Version != shownVersion)
        {
            (shown, shownVersion) = (snapshot, choice.Version);
            model.Update(snapshot, choice);
            SetNeedsDraw();
        }
    }

    /// <inheritdoc/>
    protected override void Paint(Sheet sheet)
    {
        model.Update(shown, choice);
        var layout = HomePainter.Paint(new Scene(sheet, marks, model, choice) { Caution = caution, IsReplay = isReplay });
        desk.PageRows = Math.Max(1, choice.Page != Page.Home ? layout.Body.Height - 1 : choice.Part == Part.Modules ? layout.Modules.Height - 1 : layout.Messages.Height - 2);
    }

    /// <inheritdoc/>
    protected override bool OnKeyDown(Key key)
    {
        var rune = key.AsRune;
        var typed = rune.IsBmp && rune.Value >= ' ' && !key.IsCtrl && !key.IsAlt ? (char?)rune.Value : null;
        if (desk.Press(KeyNames.Of(key, typed), typed))
        {
            Leaving?.Invoke();
            return true;
        }

        Refresh();
        return true;
    }
}
