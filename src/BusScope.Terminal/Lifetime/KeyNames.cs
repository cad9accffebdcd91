using Terminal.Gui.Input;

namespace BusScope.Terminal.Lifetime;

/// <summary>The library's keys under the names of <see cref="Screens.Keys"/>.</summary>
internal static class KeyNames
{
    private static readonly (Key Key, string Name)[] Named =
    [
        (Key.CursorUp, "up"),
        (Key.CursorDown, "down"),
        (Key.CursorLeft, "left"),
        (Key.CursorRight, "right"),
        (Key.PageUp, "pageup"),
        (Key.PageDown, "pagedown"),
        (Key.Home, "home"),
        (Key.End, "end"),
        (Key.Tab, "tab"),
        (Key.Tab.WithShift, "shift+tab"),
        (Key.Esc, "esc"),
        (Key.Enter, "enter"),
        (Key.Backspace, "backspace"),
        (Key.Space, "space"),
        (Key.F1, "f1"),
        (Key.C.WithCtrl, "ctrl+c"),
    ];

    /// <summary>The name of a special key, else the character that it types, else nothing.</summary>
    public static string Of(Key key, char? typed)
    {
        foreach (var (known, name) in Named)
        {
            if (key == known)
            {
                return name;
            }
        }

        return typed?.ToString() ?? "";
    }
}
