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
        Assert.Contains("cabin 12 %", screen.Text, StringComparison.Ordinal);

        var silent = With(load: 0, isSilent: true);
        screen.Snapshot = silent with { Health = silent.Health with { Buses = [silent.Health.Buses[0], silent.Health.Buses[1] with { LoadNow = 33 }] } };
        screen.Draw();

        Assert.Contains("chassis SILENT", screen.Text, StringComparison.Ordinal);
        Assert.Contains("cabin 33 %", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Who_presses_a_key_sees_the_figures_of_that_moment()
    {
        using var screen = Open();

        screen.Snapshot = With(load: 53);
        screen.Press(Key.CursorDown);

        Assert.Contains("chassis 53 %", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_snapshot_that_answers_a_key_is_shown_with_its_figures_and_the_one_behind_it_waits()
    {
        using var screen = Open();
        screen.Press(Key.CursorDown);

        screen.Snapshot = With(load: 53);
        screen.Draw();
        Assert.Contains("chassis 53 %", screen.Text, StringComparison.Ordinal);

        screen.Snapshot = screen.Snapshot with { Number = screen.Snapshot.Number + 1, Health = With(load: 61).Health };
        screen.Draw();
        Assert.Contains("chassis 53 %", screen.Text, StringComparison.Ordinal);
    }
}
