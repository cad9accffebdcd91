using BusScope.Session;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>Figures, which nobody reads twenty times a second, beside everything else.</summary>
public sealed class FigureTests
{
    private static SessionSnapshot With(double load, bool isSilent = false) => Dunlin.Healthy with
    {
        Number = Dunlin.Healthy.Number + 1,
        Health = Dunlin.Healthy.Health with { Buses = [.. Dunlin.Healthy.Health.Buses.Select((bus, i) => i == 0 ? bus with { LoadNow = load, IsSilent = isSilent } : bus)] },
    };

    private static HeadlessScreen Open()
    {
        var screen = new HeadlessScreen(Dunlin.Healthy);
        Assert.Contains("chassis 47 %", screen.Text, StringComparison.Ordinal);
        return screen;
    }

    [Fact]
    public void A_row_in_which_only_figures_changed_waits_for_its_turn()
    {
        using var screen = Open();

        screen.Snapshot = With(load: 53);
        screen.Pass(0.05);
        Assert.Contains("chassis 47 %", screen.Text, StringComparison.Ordinal);

        screen.Pass(0.05);
        Assert.Contains("chassis 53 %", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_row_in_which_a_word_changed_is_shown_at_once_with_its_figures()
    {
        using var screen = Open();

        screen.Snapshot = With(load: 0, isSilent: true);
        screen.Draw();

        Assert.Contains("chassis SILENT", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Who_presses_a_key_sees_the_figures_of_that_moment()
    {
        using var screen = Open();

        screen.Snapshot = With(load: 53);
        screen.Press(Key.CursorDown);

        Assert.Contains("chassis 53 %", screen.Text, StringComparison.Ordinal);
    }
}
