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
internal sealed record KeyBinding(KeyAction Action, string[] Names, string Shown, string Meaning, bool ForReplay = false);

/// <summary>All keys: what the screen obeys, what its bottom line and its help show, and what docs/terminal-ui.md lists.</summary>
internal static class Keys
{
    /// <summary>In the order in which help lists them.</summary>
    public static IReadOnlyList<KeyBinding> All { get; } =
    [
        new(KeyAction.Up, ["up"], "Up", "choose a line"),
        new(KeyAction.Down, ["down"], "Down", "choose a line"),
        new(KeyAction.PageUp, ["pageup"], "PgUp", "choose a pageful on"),
        new(KeyAction.PageDown, ["pagedown"], "PgDn", "choose a pageful on"),
        new(KeyAction.First, ["home"], "Home", "the first line, the last"),
        new(KeyAction.Last, ["end"], "End", "the first line, the last"),
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
        new(KeyAction.LessTime, ["x"], "x", "trace less, more time"),
        new(KeyAction.MoreTime, ["X"], "X", "trace less, more time"),
        new(KeyAction.Units, ["i"], "i", "metric or US units"),
        new(KeyAction.Mark, ["n"], "n", "a mark with a note"),
        new(KeyAction.Alarm, ["a"], "a", "alarm on, off"),
        new(KeyAction.AlarmOnThis, ["A"], "A", "alarm on this message"),
        new(KeyAction.Picture, ["p"], "p", "screen shot: text, drawing"),
        new(KeyAction.PictureDrawn, ["P"], "P", "screen shot: text, drawing"),
        new(KeyAction.Help, ["?", "h", "f1"], "?", "this help, or back"),
        new(KeyAction.Quit, ["q", "ctrl+c"], "q", "quit; so does Ctrl+C"),
        new(KeyAction.Pause, ["space"], "Space", "stand still, or go on", ForReplay: true),
        new(KeyAction.StepFrame, ["s"], "s", "one frame, one second on", ForReplay: true),
        new(KeyAction.StepSecond, ["S"], "S", "one frame, one second on", ForReplay: true),
        new(KeyAction.FrameBack, ["r"], "r", "one frame, one second back", ForReplay: true),
        new(KeyAction.SecondBack, ["R"], "R", "one frame, one second back", ForReplay: true),
        new(KeyAction.GoTo, ["g"], "g", "go to a time", ForReplay: true),
        new(KeyAction.FindingAfter, ["f"], "f", "the finding after, before", ForReplay: true),
        new(KeyAction.FindingBefore, ["F"], "F", "the finding after, before", ForReplay: true),
        new(KeyAction.MarkAfter, ["k"], "k", "the mark after, before", ForReplay: true),
        new(KeyAction.MarkBefore, ["K"], "K", "the mark after, before", ForReplay: true),
        new(KeyAction.Beginning, ["<"], "<", "the beginning, the end", ForReplay: true),
        new(KeyAction.Ending, [">"], ">", "the beginning, the end", ForReplay: true),
        new(KeyAction.Loop, ["l"], "l", "round between two marks", ForReplay: true),
        new(KeyAction.ToMoment, ["j"], "j", "to the event's moment", ForReplay: true),
        new(KeyAction.Faster, ["+", "="], "+", "faster, slower", ForReplay: true),
        new(KeyAction.Slower, ["-"], "-", "faster, slower", ForReplay: true),
        new(KeyAction.AsRecorded, ["1"], "1", "at recorded speed", ForReplay: true),
        new(KeyAction.AsFastAsPossible, ["m"], "m", "as fast as possible", ForReplay: true),
    ];

    /// <summary>What has a meaning of its own on the page of a message; all other keys do there what they do everywhere.</summary>
    public static IReadOnlyList<KeyBinding> OfMessage { get; } =
    [
        new(KeyAction.BitLeft, ["left"], "Left", "to the bit beside"),
        new(KeyAction.BitRight, ["right"], "Right", "to the bit beside"),
        new(KeyAction.Up, ["up"], "Up", "to the byte above, below"),
        new(KeyAction.Down, ["down"], "Down", "to the byte above, below"),
        new(KeyAction.PageUp, ["pageup"], "PgUp", "more signals"),
        new(KeyAction.PageDown, ["pagedown"], "PgDn", "more signals"),
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
