using BusScope.Health;
using BusScope.Session;
using BusScope.Signals.Definitions;

namespace BusScope.Terminal.Screens;

/// <summary>Words that must all be found, in capitals or not, in what is shown.</summary>
internal sealed class Filter
{
    private string text = "";
    private string[] words = [];

    /// <summary>Whether everything is kept.</summary>
    public bool IsEmpty => words.Length == 0;

    /// <summary>Takes what was typed.</summary>
    public void Take(string typed)
    {
        if (text != typed)
        {
            text = typed;
            words = typed.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        }
    }

    /// <summary>Whether a module itself is meant.</summary>
    public bool Keeps(ModuleHealth module) => IsEmpty || Array.TrueForAll(words, word => Has(word, module));

    /// <summary>Whether a message is meant: by its own, or by the module under which it is shown, or where it stands under none by those that need it.</summary>
    public bool Keeps(MessageHealth message, ModuleHealth? module, IReadOnlyList<ModuleHealth> modules) =>
        IsEmpty || Array.TrueForAll(words, word => Has(word, message) || (module is null ? IsNeeded(word, message, modules) : Has(word, module)));

    /// <summary>Whether an event is meant.</summary>
    public bool Keeps(SessionEvent happened) => IsEmpty || Array.TrueForAll(words, word => Has(word, happened.Text));

    private static bool IsNeeded(string word, MessageHealth message, IReadOnlyList<ModuleHealth> modules)
    {
        foreach (var module in modules)
        {
            if (message.Definition is { } definition && ScreenModel.Contains(definition.NeededBy, module.Definition.Name) && HasName(word, module.Definition))
            {
                return true;
            }
        }

        return false;
    }

    private static bool Has(string word, ModuleHealth module) => HasName(word, module.Definition) || Has(word, Drawing.Marks.Word(module.Verdict));

    private static bool HasName(string word, ModuleDefinition module) => Has(word, module.Name) || Has(word, module.Title);

    private static bool Has(string word, MessageHealth message) =>
        Has(word, message.Definition?.Name)
        || Has(word, message.Definition?.From)
        || Has(word, message.Bus)
        || Has(word, Drawing.Marks.Word(message.State))
        || Has(word, message.Id?.ToString());

    private static bool Has(string word, string? text) => text?.Contains(word, StringComparison.OrdinalIgnoreCase) ?? false;
}
