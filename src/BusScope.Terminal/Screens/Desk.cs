using BusScope.Session.Replay;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What a key does to the choice and to the pace. Knows nothing of the terminal; used by the screen's thread alone.</summary>
/// <param name="choice">What is chosen.</param>
/// <param name="model">What is shown.</param>
/// <param name="pace">How recorded time passes, or null for a live source.</param>
/// <param name="hands">What a key does outside of the screen.</param>
internal sealed class Desk(Choice choice, ScreenModel model, ReplayPace? pace, Hands hands)
{
    /// <summary>Rows of a page, for the keys that go by pages.</summary>
    public int PageRows { get; set; } = 10;

    /// <summary>Takes a key.</summary>
    /// <param name="name">As in <see cref="KeyBinding.Names"/>.</param>
    /// <param name="typed">The character typed, or null where the key gives none.</param>
    /// <returns>Whether the person wants to leave.</returns>
    public bool Press(string name, char? typed)
    {
        choice.Touch();
        if (choice.Typing != Typing.Nothing && name != "ctrl+c")
        {
            Type(name, typed);
            return false;
        }

        var action = Keys.Find(name);
        if (action is { } known)
        {
            Do(known);
        }

        return action == KeyAction.Quit;
    }

    private bool HasMessages => choice.Page is Page.Home or Page.Unknown or Page.Changed;

    private void Do(KeyAction action)
    {
        switch (action)
        {
            case KeyAction.Up: Move(-1); break;
            case KeyAction.Down: Move(1); break;
            case KeyAction.PageUp: Move(-PageRows); break;
            case KeyAction.PageDown: Move(PageRows); break;
            case KeyAction.First: Move(-1_000_000); break;
            case KeyAction.Last: Move(1_000_000); break;
            case KeyAction.NextPart: Go(1); break;
            case KeyAction.PartBefore: Go(-1); break;
            case KeyAction.Into: Into(); break;
            case KeyAction.Back: Back(); break;
            case KeyAction.Filter: BeginFilter(); break;
            case KeyAction.Order: choice.Order = Ordering.After(choice.Order); break;
            case KeyAction.Buses: Turn(Page.Buses); break;
            case KeyAction.Events: Turn(Page.Events); break;
            case KeyAction.Unknown: Turn(Page.Unknown); break;
            case KeyAction.Changed: Turn(Page.Changed); break;
            case KeyAction.Mark: (choice.Typing, choice.Note) = (Typing.Note, ""); break;
            case KeyAction.Alarm: AlarmKeys.Next(choice, hands); break;
            case KeyAction.AlarmOnThis when model.Message is { } message && HasMessages: AlarmKeys.OnThis(choice, message, hands); break;
            case KeyAction.Picture: hands.TakePicture(); break;
            case KeyAction.Help: Help(); break;
            default: Pace(action); break;
        }
    }

    private void Pace(KeyAction action)
    {
        if (pace is not null)
        {
            PaceKeys.Turn(pace, action);
        }
    }

    private void Type(string name, char? typed)
    {
        var isNote = choice.Typing == Typing.Note;
        var text = isNote ? choice.Note : choice.Filter;
        switch (name)
        {
            case "enter":
                choice.Typing = Typing.Nothing;
                if (isNote)
                {
                    hands.SetMark(text.Trim());
                }

                return;
            case "esc": (choice.Typing, text) = (Typing.Nothing, ""); break;
            case "backspace": text = text.Length > 0 ? text[..^1] : ""; break;
            case var _ when typed is { } c && !char.IsControl(c) && !char.IsSurrogate(c) && text.Length < (isNote ? Choice.LongestNote : Choice.LongestFilter): text += c; break;
            default: break;
        }

        (choice.Note, choice.Filter) = isNote ? (text, choice.Filter) : (choice.Note, text);
    }

    // Buses and help have nothing to filter.
    private void BeginFilter() =>
        (choice.Typing, choice.Page) = (Typing.Filter, choice.Page is Page.Buses or Page.Help ? Page.Home : choice.Page);

    private void Back()
    {
        if (choice.Page == Page.Help)
        {
            Help();
        }
        else if (choice.Filter.Length > 0)
        {
            choice.Filter = "";
        }
        else if (choice.Page != Page.Home)
        {
            Turn(choice.Page);
        }
    }

    private void Turn(Page page)
    {
        choice.Page = choice.Page == page ? Page.Home : page;
        choice.Part = choice.Page is Page.Unknown or Page.Changed ? Part.Messages : choice.Part;
        choice.Event = null;
        Array.Clear(choice.Scroll);
    }

    private void Help()
    {
        (choice.Page, choice.BeforeHelp) = choice.Page == Page.Help ? (choice.BeforeHelp, Page.Home) : (Page.Help, choice.Page);
        choice.Scroll[3] = 0;
    }

    private void Go(int parts)
    {
        var first = model.HasModules && choice.Page == Page.Home ? 0 : 1;
        var count = 3 - first;
        choice.Part = (Part)(((int)choice.Part - first + parts + count) % count + first);
    }

    private void Into()
    {
        if (choice.Page == Page.Events && model.Event is { } happened)
        {
            if (!Jump.To(choice, model, happened))
            {
                hands.Say("a mark is about no message", Ink.Note);
            }
        }
        else if (choice.Page is Page.Unknown or Page.Changed && model.Message is { } message)
        {
            Jump.To(choice, model, message);
        }
        else if (choice.Page == Page.Home && choice.Part != Part.Details)
        {
            Go(1);
        }
    }

    private void Move(int rows)
    {
        switch (choice.Page)
        {
            case Page.Events when model.Events.Count > 0:
                var row = Math.Clamp(model.EventRow + rows, 0, model.Events.Count - 1);

                // The newest is followed as others come.
                choice.Event = row == 0 ? null : model.Snapshot.Events[model.Events[row]];
                break;
            case Page.Buses or Page.Help:
                choice.Scroll[3] = Math.Max(0, choice.Scroll[3] + rows);
                break;
            default:
                MoveInPart(rows);
                break;
        }
    }

    private void MoveInPart(int rows)
    {
        if (choice.Part == Part.Modules && choice.Page == Page.Home)
        {
            var index = model.Modules[Math.Clamp(model.ModuleRow + rows, 0, model.Modules.Count - 1)];
            choice.Module = index == ScreenModel.Everything ? null : model.Health.Modules[index].Definition.Name;
            (choice.HasModule, choice.Message) = (true, null);
            (choice.Scroll[1], choice.Scroll[2]) = (0, 0);
        }
        else if (choice.Part == Part.Messages && model.Messages.Count > 0)
        {
            var index = model.Messages[Math.Clamp(model.MessageRow + rows, 0, model.Messages.Count - 1)];
            choice.Message = MessageKey.Of(model.Health.Messages[index]);
            choice.Scroll[2] = 0;
        }
        else
        {
            choice.Scroll[2] = Math.Max(0, choice.Scroll[2] + rows);
        }
    }
}
