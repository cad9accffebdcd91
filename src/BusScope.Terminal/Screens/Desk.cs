using BusScope.Health;
using BusScope.Session;
using BusScope.Signals.Editing;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Pages;

namespace BusScope.Terminal.Screens;

/// <summary>
/// Where the pages lie, and what a key does: to the page on top where it means something there, else what it does everywhere.
/// Knows nothing of the terminal; used by the screen's thread alone.
/// </summary>
internal sealed class Desk
{
    private const int ToTheEnd = 1_000_000;

    private readonly IWatchedSession session;
    private readonly ScreenPage[] pages;

    /// <summary>A desk with the home screen on top.</summary>
    /// <param name="choice">What is chosen.</param>
    /// <param name="model">What is shown.</param>
    /// <param name="session">The session.</param>
    /// <param name="hands">What a key does outside of the screen.</param>
    public Desk(Choice choice, ScreenModel model, IWatchedSession session, Hands hands)
    {
        (Choice, Model, Hands, this.session) = (choice, model, hands, session);
        Jumps = new JumpKeys(session, this);
        pages =
        [
            new HomePage(this), new BusesPage(this), new EventsPage(this), new MessagesPage(this, Page.Unknown), new MessagesPage(this, Page.Changed),
            new SignalsPage(this), new TracePage(this), new MessagePage(this), new HelpPage(this),
        ];
    }

    /// <summary>What is chosen.</summary>
    public Choice Choice { get; }

    /// <summary>What is shown.</summary>
    public ScreenModel Model { get; }

    /// <summary>What a key does outside of the screen.</summary>
    public Hands Hands { get; }

    /// <summary>Goes to other moments of a recording.</summary>
    public JumpKeys Jumps { get; }

    /// <summary>The page on top.</summary>
    public ScreenPage Top => Of(Choice.Page);

    /// <summary>A page.</summary>
    public ScreenPage Of(Page kind) => Array.Find(pages, page => page.Kind == kind) ?? pages[0];

    /// <summary>Takes a key.</summary>
    /// <param name="name">As in <see cref="KeyBinding.Names"/>.</param>
    /// <param name="typed">The character typed, or null where the key gives none.</param>
    /// <returns>Whether the person wants to leave.</returns>
    public bool Press(string name, char? typed)
    {
        Choice.Touch();
        if (Choice.Entry is { } entry && name != "ctrl+c")
        {
            if (entry.Press(name, typed) && ReferenceEquals(Choice.Entry, entry))
            {
                Choice.Entry = null;
            }

            return false;
        }

        var action = Keys.Find(name, Top.OwnKeys);
        if (action is { } known && !Top.Do(known))
        {
            Do(known);
        }

        return action == KeyAction.Quit;
    }

    /// <summary>Has a signal that was defined at the screen read with the others.</summary>
    /// <param name="signal">The signal.</param>
    /// <param name="message">The message that it is in.</param>
    public void Read(NewSignal signal, MessageHealth message) =>
        session.Widen(new DefinitionPlan(signal.Into(Model.Snapshot.Decoding.Definitions, Model.IndexOf(message))));

    /// <summary>Turns to a page, or from it back to the home screen.</summary>
    public void Turn(Page page)
    {
        Choice.Page = Choice.Page == page ? Page.Home : page;
        Choice.Event = null;
        Array.Clear(Choice.Scroll);
        Top.Open();
    }

    private void Do(KeyAction action)
    {
        switch (action)
        {
            case KeyAction.Up: Top.Move(-1); break;
            case KeyAction.Down: Top.Move(1); break;
            case KeyAction.PageUp: Top.Move(-Top.PageRows); break;
            case KeyAction.PageDown: Top.Move(Top.PageRows); break;
            case KeyAction.First: Top.Move(-ToTheEnd); break;
            case KeyAction.Last: Top.Move(ToTheEnd); break;
            case KeyAction.Back: Back(); break;
            case KeyAction.Filter: BeginFilter(); break;
            case KeyAction.Order: Choice.Order = Ordering.After(Choice.Order); break;
            case KeyAction.Buses: Turn(Page.Buses); break;
            case KeyAction.Events: Turn(Page.Events); break;
            case KeyAction.Unknown: Turn(Page.Unknown); break;
            case KeyAction.Changed: Turn(Page.Changed); break;
            case KeyAction.Signals: Turn(Page.Signals); break;
            case KeyAction.Trace: Turn(Page.Trace); break;
            case KeyAction.Units: Units(); break;
            case KeyAction.Mark: BeginMark(); break;
            case KeyAction.Alarm: AlarmKeys.Next(Choice, Hands); break;
            case KeyAction.Picture: Hands.TakePicture(false); break;
            case KeyAction.PictureDrawn: Hands.TakePicture(true); break;
            case KeyAction.Help: Help(); break;
            default: Pace(action); break;
        }
    }

    private void Pace(KeyAction action)
    {
        if (session.Pace is { } pace)
        {
            PaceKeys.Turn(pace, action);
            Jumps.Do(action);
        }
    }

    private void Units()
    {
        Choice.IsUs = !Choice.IsUs;
        Hands.Say(Choice.IsUs ? "units of the United States, where they have one of their own" : "units as the definitions have them", Ink.Note);
        Hands.Remember();
    }

    private void BeginFilter()
    {
        if (!Top.HasFilter)
        {
            Choice.Page = Page.Home;
        }

        Choice.Entry = new Entry("filter: ", Choice.LongestFilter, _ => null)
        {
            Text = Choice.Filter,
            Keys = "Enter keep  Esc none",
            Changed = text => Choice.Filter = text,
        };
    }

    private void BeginMark() => Choice.Entry = new Entry(Model.Snapshot.IsRecorded ? "mark, recorded: " : "mark: ", Choice.LongestNote, note =>
    {
        Hands.SetMark(note);
        return null;
    });

    private void Back()
    {
        if (Choice.Page == Page.Help)
        {
            Help();
        }
        else if (Choice.Filter.Length > 0)
        {
            Choice.Filter = "";
        }
        else if (Choice.Page != Page.Home)
        {
            Turn(Choice.Page);
        }
    }

    private void Help()
    {
        (Choice.Page, Choice.BeforeHelp) = Choice.Page == Page.Help ? (Choice.BeforeHelp, Page.Home) : (Page.Help, Choice.Page);
        Choice.Scroll[3] = 0;
    }
}
