namespace BusScope.Terminal.Screens;

/// <summary>A line of text while it is typed into the bottom row: what it is for, and what comes of it. On the screen's thread.</summary>
/// <param name="Label">What is asked for.</param>
/// <param name="Longest">The most characters.</param>
/// <param name="Accept">Takes what was typed, when it is done; says what is wrong with it, or null.</param>
internal sealed record Entry(string Label, int Longest, Func<string, string?> Accept)
{
    /// <summary>What Enter and Esc do.</summary>
    public string Keys { get; init; } = "Enter set  Esc not";

    /// <summary>Told of every change, where what is typed shows at once; or null.</summary>
    public Action<string>? Changed { get; init; }

    /// <summary>What was typed so far.</summary>
    public string Text { get; set; } = "";

    /// <summary>What is wrong with it, until the next key; or null.</summary>
    public string? Wrong { get; private set; }

    /// <summary>Takes a key.</summary>
    /// <param name="name">As in <see cref="KeyBinding.Names"/>.</param>
    /// <param name="typed">The character typed, or null where the key gives none.</param>
    /// <returns>Whether the typing is over.</returns>
    public bool Press(string name, char? typed)
    {
        Wrong = null;
        switch (name)
        {
            case "enter":
                Wrong = Accept(Text.Trim());
                return Wrong is null;
            case "esc":
                Changed?.Invoke("");
                return true;
            case "backspace":
                Text = Text.Length > 0 ? Text[..^1] : "";
                break;
            case var _ when typed is { } c && !char.IsControl(c) && !char.IsSurrogate(c) && Text.Length < Longest:
                Text += c;
                break;
            default:
                return false;
        }

        Changed?.Invoke(Text);
        return false;
    }
}
