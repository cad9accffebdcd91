using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;

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

    /// <summary>Each bus with its load, its rates and its controller.</summary>
    Buses,

    /// <summary>All events, newest first.</summary>
    Events,

    /// <summary>Identifiers that no definition claims.</summary>
    Unknown,

    /// <summary>Messages whose bytes changed within the last seconds.</summary>
    Changed,

    /// <summary>Keys and marks.</summary>
    Help,
}

/// <summary>What the alarm sounds on.</summary>
internal enum AlarmMode
{
    /// <summary>On nothing.</summary>
    Off,

    /// <summary>On every NO-GO, and on the messages chosen for it.</summary>
    AnyNoGo,

    /// <summary>On the messages chosen for it alone.</summary>
    ChosenMessages,
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
    /// <summary>The most characters of a filter, and of a note.</summary>
    public const int LongestFilter = 40, LongestNote = 200;

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

    /// <summary>What is being typed, or null where each key does what it is for.</summary>
    public Entry? Entry { get; set; }

    /// <summary>In which order modules and messages stand.</summary>
    public Order Order { get; set; }

    /// <summary>The event, or null for the newest.</summary>
    public SessionEvent? Event { get; set; }

    /// <summary>What the alarm sounds on.</summary>
    public AlarmMode Alarm { get; set; }

    /// <summary>Messages chosen for the alarm.</summary>
    public HashSet<MessageKey> Alarmed { get; } = [];

    /// <summary>The page that help goes back to.</summary>
    public Page BeforeHelp { get; set; }

    /// <summary>First rows shown: of modules, messages, details, and of a page.</summary>
    public int[] Scroll { get; } = new int[4];

    /// <summary>Counts up when anything was changed.</summary>
    public int Version { get; private set; }

    /// <summary>Whether a module was chosen yet, by a person or at the start.</summary>
    public bool HasModule { get; set; }

    /// <summary>Says that something was changed.</summary>
    public void Touch() => Version++;
}
