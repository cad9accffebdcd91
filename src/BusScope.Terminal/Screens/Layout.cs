using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// Where everything stands. From top to bottom: the answer, the buses, the modules, then messages and signals side by side,
/// then what happened, the time and the keys. A tall screen tells the answer in large letters; a wide one puts modules and
/// events to the left and messages and signals to the right of them.
/// </summary>
internal sealed record Layout
{
    /// <summary>The narrowest and the lowest screen that can be used.</summary>
    public const int LeastWidth = 60, LeastHeight = 16;

    private const int Tall = 34;
    private const int Wide = 160;

    // A message with state, name, identifier, age, period and eight bytes.
    private const int RowWithPayload = 79;

    /// <summary>The verdict for the car.</summary>
    public Area Answer { get; private init; }

    /// <summary>The strip of the buses.</summary>
    public Area Buses { get; private init; }

    /// <summary>One line a module; empty without modules.</summary>
    public Area Modules { get; private init; }

    /// <summary>The messages under their title.</summary>
    public Area Messages { get; private init; }

    /// <summary>The signals or bytes under their title.</summary>
    public Area Details { get; private init; }

    /// <summary>What happened, newest first.</summary>
    public Area Events { get; private init; }

    /// <summary>A caution; empty where there is none to give.</summary>
    public Area Caution { get; private init; }

    /// <summary>Time and speed.</summary>
    public Area Time { get; private init; }

    /// <summary>The keys.</summary>
    public Area Keys { get; private init; }

    /// <summary>All between buses and time, for a page that takes it whole.</summary>
    public Area Body { get; private init; }

    /// <summary>Whether there is room for large letters, titles and a line a bus.</summary>
    public bool IsTall { get; private init; }

    /// <summary>Arranges a screen of this size.</summary>
    /// <param name="whole">The screen.</param>
    /// <param name="modules">Lines that the modules would like, 0 without modules.</param>
    /// <param name="buses">How many buses there are.</param>
    /// <param name="hasCaution">Whether a caution must be given.</param>
    /// <param name="hasVerdict">Whether there is a verdict to be told in large letters.</param>
    public static Layout For(Area whole, int modules, int buses, bool hasCaution, bool hasVerdict)
    {
        var isTall = whole.Height >= Tall;
        var answer = whole.First(isTall && hasVerdict ? 5 : 1);
        var strip = whole.Below(answer.Height).First(isTall ? Math.Clamp(buses, 1, 6) : buses > 3 ? 2 : 1);
        var keys = whole.Below(whole.Height - 1);
        var time = whole.Below(whole.Height - 2).First(1);
        var caution = whole.Below(whole.Height - 2 - (hasCaution ? 1 : 0)).First(hasCaution ? 1 : 0);
        var top = strip.Bottom;
        var body = whole.Below(top).First(caution.Top - top);
        var layout = new Layout { Answer = answer, Buses = strip, Keys = keys, Time = time, Caution = caution, Body = body, IsTall = isTall };
        return whole.Width >= Wide && modules > 0 ? layout.SideBySide(modules) : layout.Stacked(modules);
    }

    private Layout Stacked(int modules)
    {
        var events = Body.Height >= 40 ? 8 : IsTall ? 5 : 1;
        var room = Body.Height - events;
        var title = IsTall ? 1 : 0;
        var most = IsTall ? room * 3 / 5 : room - 7;
        var shown = modules == 0 ? 0 : Math.Min(modules + title, Math.Max(3, most));
        var lower = Body.Below(shown).First(room - shown);
        var left = Body.Width >= 100 ? Math.Max(Body.Width * 3 / 5, Math.Min(RowWithPayload, Body.Width - 42))
            : modules == 0 ? 56
            : 45;
        return this with
        {
            Modules = Body.First(shown),
            Messages = lower with { Width = left },
            Details = lower with { Left = left + 1, Width = Body.Width - left - 1 },
            Events = Body.Below(room),
        };
    }

    private Layout SideBySide(int modules)
    {
        var left = Body with { Width = (Body.Width * 2 / 5) - 1 };
        var right = Body with { Left = left.Right + 1, Width = Body.Width - left.Width - 1 };
        var shown = Math.Min(modules + 1, Body.Height * 3 / 5);
        var upper = (Body.Height + 1) / 2;
        return this with
        {
            Modules = left.First(shown),
            Events = left.Below(shown),
            Messages = right.First(upper),
            Details = right.Below(upper),
        };
    }
}
