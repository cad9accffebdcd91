using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Terminal.Screens;

/// <summary>A part of the home screen that the arrow keys can go to.</summary>
internal enum Part
{
    /// <summary>One line a module.</summary>
    Modules,

    /// <summary>The messages of the chosen module.</summary>
    Messages,

    /// <summary>The signals, or the bytes, of the chosen message.</summary>
    Details,
}

/// <summary>What fills the screen.</summary>
internal enum Page
{
    /// <summary>Modules, messages, signals.</summary>
    Home,

    /// <summary>All events, newest first.</summary>
    Events,

    /// <summary>Keys and marks.</summary>
    Help,
}

/// <summary>Which message is meant, however many others come and go.</summary>
internal readonly record struct MessageKey(int DefinitionIndex, string Bus, CanId? Id)
{
    /// <summary>The key of a message of a report.</summary>
    public static MessageKey Of(MessageHealth message) =>
        message.DefinitionIndex >= 0 ? new(message.DefinitionIndex, "", null) : new(-1, message.Bus, message.Id);
}

/// <summary>What the person at the screen has chosen. Changed by keys, on the screen's thread.</summary>
internal sealed class Choice
{
    /// <summary>The most characters of a filter.</summary>
    public const int LongestFilter = 40;

    /// <summary>What fills the screen.</summary>
    public Page Page { get; set; }

    /// <summary>Where the arrow keys go.</summary>
    public Part Part { get; set; }

    /// <summary>The module's name; null for every message of the buses.</summary>
    public string? Module { get; set; }

    /// <summary>The message, or null before any is there.</summary>
    public MessageKey? Message { get; set; }

    /// <summary>Words that must all be found in what is shown.</summary>
    public string Filter { get; set; } = "";

    /// <summary>Whether typed characters go to the filter.</summary>
    public bool IsTyping { get; set; }

    /// <summary>Whether what is worst stands first.</summary>
    public bool WorstFirst { get; set; }

    /// <summary>First rows shown: of modules, messages, details, events.</summary>
    public int[] Scroll { get; } = new int[4];

    /// <summary>Counts up when anything was changed.</summary>
    public int Version { get; private set; }

    /// <summary>Whether a module was chosen yet, by a person or at the start.</summary>
    public bool HasModule { get; set; }

    /// <summary>Says that something was changed.</summary>
    public void Touch() => Version++;
}
