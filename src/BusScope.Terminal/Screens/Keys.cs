namespace BusScope.Terminal.Screens;

/// <summary>What a key does.</summary>
internal enum KeyAction
{
    /// <summary>Choose the line above.</summary>
    Up,

    /// <summary>Choose the line below.</summary>
    Down,

    /// <summary>Choose a pageful further up.</summary>
    PageUp,

    /// <summary>Choose a pageful further down.</summary>
    PageDown,

    /// <summary>Choose the first line.</summary>
    First,

    /// <summary>Choose the last line.</summary>
    Last,

    /// <summary>To the next part.</summary>
    NextPart,

    /// <summary>To the part before.</summary>
    PartBefore,

    /// <summary>To what the line is about.</summary>
    Into,

    /// <summary>Take the filter away, or leave a page.</summary>
    Back,

    /// <summary>Type a filter.</summary>
    Filter,

    /// <summary>The next order.</summary>
    Order,

    /// <summary>All buses, or the home screen.</summary>
    Buses,

    /// <summary>All events, or the home screen.</summary>
    Events,

    /// <summary>Identifiers without a definition, or the home screen.</summary>
    Unknown,

    /// <summary>What changed within the last seconds, or the home screen.</summary>
    Changed,

    /// <summary>All signals, or the home screen.</summary>
    Signals,

    /// <summary>The chosen signal onto the watch list, or off it.</summary>
    WatchThis,

    /// <summary>The chosen signal into the trace, or out of it.</summary>
    TraceThis,

    /// <summary>The trace, or the page before.</summary>
    Trace,

    /// <summary>The trace shows less time.</summary>
    LessTime,

    /// <summary>The trace shows more time.</summary>
    MoreTime,

    /// <summary>Metric units, or those of the United States.</summary>
    Units,

    /// <summary>Set a mark with a typed note.</summary>
    Mark,

    /// <summary>The alarm on or off.</summary>
    Alarm,

    /// <summary>The alarm on the chosen message, or not.</summary>
    AlarmOnThis,

    /// <summary>Write the screen into a text file.</summary>
    Picture,

    /// <summary>Write the screen into a file as a drawing.</summary>
    PictureDrawn,

    /// <summary>Stand still, or go on.</summary>
    Pause,

    /// <summary>One frame on.</summary>
    StepFrame,

    /// <summary>One second on.</summary>
    StepSecond,

    /// <summary>One frame back.</summary>
    FrameBack,

    /// <summary>One second back.</summary>
    SecondBack,

    /// <summary>To a typed time.</summary>
    GoTo,

    /// <summary>To the next finding.</summary>
    FindingAfter,

    /// <summary>To the finding before.</summary>
    FindingBefore,

    /// <summary>To the next mark.</summary>
    MarkAfter,

    /// <summary>To the mark before.</summary>
    MarkBefore,

    /// <summary>To the beginning of the recording.</summary>
    Beginning,

    /// <summary>To its end.</summary>
    Ending,

    /// <summary>Round and round between two marks, or on.</summary>
    Loop,

    /// <summary>To the moment of the chosen event.</summary>
    ToMoment,

    /// <summary>Faster.</summary>
    Faster,

    /// <summary>Slower.</summary>
    Slower,

    /// <summary>As recorded.</summary>
    AsRecorded,

    /// <summary>As fast as possible.</summary>
    AsFastAsPossible,

    /// <summary>The cursor a bit to the left.</summary>
    BitLeft,

    /// <summary>The cursor a bit to the right.</summary>
    BitRight,

    /// <summary>A field begins at the cursor.</summary>
    BeginField,

    /// <summary>The next setting of the field.</summary>
    SettingAfter,

    /// <summary>The setting before.</summary>
    SettingBefore,

    /// <summary>The field into its definition file.</summary>
    WriteField,

    /// <summary>Keys and marks.</summary>
    Help,

    /// <summary>Leave the program.</summary>
    Quit,
}

/// <summary>One key, or several that do the same.</summary>
/// <param name="Action">What it does.</param>
/// <param name="Names">The keys: a character as it is typed, or a name such as <c>up</c>.</param>
/// <param name="Shown">The keys as the screen shows them.</param>
/// <param name="Meaning">What it does, in a few words.</param>
/// <param name="ForReplay">Whether it has a meaning for recordings only.</param>
/// <param name="IsSecond">Whether it is the other one of a pair, and stands in one line of help with the key before it.</param>
internal sealed record KeyBinding(KeyAction Action, string[] Names, string Shown, string Meaning, bool ForReplay = false, bool IsSecond = false);

/// <summary>All keys: what the screen obeys, what its bottom line and its help show, and what docs/terminal-ui.md lists.</summary>
internal static class Keys
{
    /// <summary>In the order in which help lists them.</summary>
    public static IReadOnlyList<KeyBinding> All { get; } =
    [
        new(KeyAction.Up, ["up"], "Up", "a line up"),
        new(KeyAction.Down, ["down"], "Down", "a line down", IsSecond: true),
        new(KeyAction.PageUp, ["pageup"], "PgUp", "a page up"),
        new(KeyAction.PageDown, ["pagedown"], "PgDn", "a page down", IsSecond: true),
        new(KeyAction.First, ["home"], "Home", "first line"),
        new(KeyAction.Last, ["end"], "End", "last line", IsSecond: true),
        new(KeyAction.NextPart, ["tab", "right"], "Tab Right", "to the next part"),
        new(KeyAction.PartBefore, ["shift+tab", "left"], "Left", "to the part before"),
        new(KeyAction.Into, ["enter"], "Enter", "to what the line is about"),
        new(KeyAction.Back, ["esc"], "Esc", "no filter; leave the page"),
        new(KeyAction.Filter, ["/"], "/", "filter by words"),
        new(KeyAction.Order, ["o"], "o", "the next order of lines"),
        new(KeyAction.Buses, ["b"], "b", "buses, or back"),
        new(KeyAction.Events, ["e"], "e", "events, or back"),
        new(KeyAction.Unknown, ["u"], "u", "unknown identifiers"),
        new(KeyAction.Changed, ["c"], "c", "what just changed"),
        new(KeyAction.Signals, ["v"], "v", "values of signals"),
        new(KeyAction.WatchThis, ["w"], "w", "watch this signal, or not"),
        new(KeyAction.TraceThis, ["t"], "t", "trace this signal, or not"),
        new(KeyAction.Trace, ["T"], "T", "the trace, or back"),
        new(KeyAction.LessTime, ["x"], "x", "trace less time"),
        new(KeyAction.MoreTime, ["X"], "X", "trace more", IsSecond: true),
        new(KeyAction.Units, ["i"], "i", "metric or US units"),
        new(KeyAction.Mark, ["n"], "n", "a mark with a note"),
        new(KeyAction.Alarm, ["a"], "a", "alarm on, off"),
        new(KeyAction.AlarmOnThis, ["A"], "A", "alarm on this message"),
        new(KeyAction.Picture, ["p"], "p", "screen shot"),
        new(KeyAction.PictureDrawn, ["P"], "P", "screen drawing", IsSecond: true),
        new(KeyAction.Help, ["?", "h", "f1"], "?", "this help, or back"),
        new(KeyAction.Quit, ["q", "ctrl+c"], "q", "quit; so does Ctrl+C"),
        new(KeyAction.Pause, ["space"], "Space", "stand still, or go on", ForReplay: true),
        new(KeyAction.StepFrame, ["s"], "s", "a frame on", ForReplay: true),
        new(KeyAction.StepSecond, ["S"], "S", "a second on", ForReplay: true, IsSecond: true),
        new(KeyAction.FrameBack, ["r"], "r", "a frame back", ForReplay: true),
        new(KeyAction.SecondBack, ["R"], "R", "a second back", ForReplay: true, IsSecond: true),
        new(KeyAction.GoTo, ["g"], "g", "go to a time", ForReplay: true),
        new(KeyAction.FindingAfter, ["f"], "f", "next finding", ForReplay: true),
        new(KeyAction.FindingBefore, ["F"], "F", "finding before", ForReplay: true, IsSecond: true),
        new(KeyAction.MarkAfter, ["k"], "k", "next mark", ForReplay: true),
        new(KeyAction.MarkBefore, ["K"], "K", "mark before", ForReplay: true, IsSecond: true),
        new(KeyAction.Beginning, ["<"], "<", "the beginning", ForReplay: true),
        new(KeyAction.Ending, [">"], ">", "the end", ForReplay: true, IsSecond: true),
        new(KeyAction.Loop, ["l"], "l", "round between two marks", ForReplay: true),
        new(KeyAction.ToMoment, ["j"], "j", "to the event's moment", ForReplay: true),
        new(KeyAction.Faster, ["+", "="], "+", "faster", ForReplay: true),
        new(KeyAction.Slower, ["-"], "-", "slower", ForReplay: true, IsSecond: true),
        new(KeyAction.AsRecorded, ["1"], "1", "at recorded speed", ForReplay: true),
        new(KeyAction.AsFastAsPossible, ["m"], "m", "as fast as possible", ForReplay: true),
    ];

    /// <summary>What has a meaning of its own on the page of a message; all other keys do there what they do everywhere.</summary>
    public static IReadOnlyList<KeyBinding> OfMessage { get; } =
    [
        new(KeyAction.BitLeft, ["left"], "Left", "a bit left"),
        new(KeyAction.BitRight, ["right"], "Right", "a bit right", IsSecond: true),
        new(KeyAction.Up, ["up"], "Up", "a byte up"),
        new(KeyAction.Down, ["down"], "Down", "a byte down", IsSecond: true),
        new(KeyAction.PageUp, ["pageup"], "PgUp", "signals above"),
        new(KeyAction.PageDown, ["pagedown"], "PgDn", "signals below", IsSecond: true),
        new(KeyAction.BeginField, ["d"], "d", "a field from this bit on"),
        new(KeyAction.SettingAfter, ["tab"], "Tab", "the next setting of it"),
        new(KeyAction.SettingBefore, ["shift+tab"], "S-Tab", "the setting before"),
        new(KeyAction.Into, ["enter"], "Enter", "change the setting"),
        new(KeyAction.WriteField, ["w"], "w", "write it into its file"),
        new(KeyAction.Back, ["esc"], "Esc", "no field; leave the page"),
    ];

    /// <summary>What a key does, or null.</summary>
    /// <param name="name">The key.</param>
    /// <param name="own">Keys with a meaning of their own on the page.</param>
    public static KeyAction? Find(string name, IReadOnlyList<KeyBinding> own) => FindIn(own, name) ?? FindIn(All, name);

    private static KeyAction? FindIn(IReadOnlyList<KeyBinding> keys, string name)
    {
        foreach (var key in keys)
        {
            if (Array.IndexOf(key.Names, name) >= 0)
            {
                return key.Action;
            }
        }

        return null;
    }
}
