using BusScope.Frames;
using BusScope.Session;

namespace BusScope.Terminal.Screens;

/// <summary>What a key does to the choice and to the pace. Knows nothing of the terminal; used by the screen's thread alone.</summary>
internal sealed class Desk(Choice choice, ScreenModel model, ReplayPace? pace)
{
    private static readonly double[] Speeds = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, ReplayPace.AsFastAsPossible];

    /// <summary>Rows of a page, for the keys that go by pages.</summary>
    public int PageRows { get; set; } = 10;

    /// <summary>Takes a key.</summary>
    /// <param name="name">As in <see cref="KeyBinding.Names"/>.</param>
    /// <param name="typed">The character typed, or null where the key gives none.</param>
    /// <returns>Whether the person wants to leave.</returns>
    public bool Press(string name, char? typed)
    {
        choice.Touch();
        if (choice.IsTyping && name != "ctrl+c")
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
            case KeyAction.Filter: (choice.IsTyping, choice.Page) = (true, Page.Home); break;
            case KeyAction.Back: Back(); break;
            case KeyAction.Order: choice.WorstFirst = !choice.WorstFirst; break;
            case KeyAction.Events: Turn(Page.Events); break;
            case KeyAction.Help: Turn(Page.Help); break;
            default: Pace(action); break;
        }
    }

    private void Pace(KeyAction action)
    {
        if (pace is null)
        {
            return;
        }

        switch (action)
        {
            case KeyAction.Pause: pace.IsPaused = !pace.IsPaused; break;
            case KeyAction.StepFrame: pace.StepFrame(); break;
            case KeyAction.StepSecond: pace.StepTime(FrameSpan.FromSeconds(1)); break;
            case KeyAction.Faster: pace.Speed = Speeds[Math.Min(Speeds.Length - 1, SpeedAt() + 1)]; break;
            case KeyAction.Slower: pace.Speed = Speeds[Math.Max(0, SpeedAt() - 1)]; break;
            case KeyAction.AsRecorded: pace.Speed = 1; break;
            case KeyAction.AsFastAsPossible: pace.Speed = ReplayPace.AsFastAsPossible; break;
            default: break;
        }
    }

    private int SpeedAt() => Array.FindLastIndex(Speeds, speed => speed <= pace!.Speed);

    private void Type(string name, char? typed)
    {
        switch (name)
        {
            case "enter": choice.IsTyping = false; break;
            case "esc": (choice.IsTyping, choice.Filter) = (false, ""); break;
            case "backspace" when choice.Filter.Length > 0: choice.Filter = choice.Filter[..^1]; break;
            case var _ when typed is { } c && !char.IsControl(c) && !char.IsSurrogate(c) && choice.Filter.Length < Choice.LongestFilter: choice.Filter += c; break;
            default: break;
        }
    }

    private void Back()
    {
        if (choice.Page != Page.Home)
        {
            Turn(choice.Page);
        }
        else
        {
            choice.Filter = "";
        }
    }

    private void Turn(Page page)
    {
        choice.Page = choice.Page == page ? Page.Home : page;
        choice.Scroll[3] = 0;
    }

    private void Go(int parts)
    {
        var first = model.HasModules ? 0 : 1;
        var count = 3 - first;
        choice.Part = (Part)(((int)choice.Part - first + parts + count) % count + first);
    }

    private void Move(int rows)
    {
        if (choice.Page != Page.Home)
        {
            choice.Scroll[3] = Math.Max(0, choice.Scroll[3] + rows);
        }
        else if (choice.Part == Part.Modules)
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
