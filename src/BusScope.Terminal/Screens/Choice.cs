using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;

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

    /// <summary>Every signal with its value, and the watch list on top.</summary>
    Signals,

    /// <summary>Up to four signals over time.</summary>
    Trace,

    /// <summary>One message with all that is known of it, bit by bit.</summary>
    Message,

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

    /// <summary>The most signals of a trace.</summary>
    public const int MostTraced = 4;

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

    /// <summary>The signal, or null before any is there.</summary>
    public SignalKey? Signal { get; set; }

    /// <summary>The watch list: signals that stand on top of the page of signals, in the order in which they were put there.</summary>
    public List<SignalKey> Watched { get; } = [];

    /// <summary>Counts up when the watch list was changed.</summary>
    public int WatchedVersion { get; set; }

    /// <summary>The signals of the trace, at most <see cref="MostTraced"/>.</summary>
    public List<SignalKey> Traced { get; } = [];

    /// <summary>How far back the trace reaches: an index of <see cref="TraceWindows.All"/>.</summary>
    public int TraceWindow { get; set; } = TraceWindows.Usual;

    /// <summary>The column of the trace under the cursor, counted from the newest; null where there is none.</summary>
    public int? TraceCursor { get; set; }

    /// <summary>Whether units of everyday use in the United States are shown.</summary>
    public bool IsUs { get; set; }

    /// <summary>What the alarm sounds on.</summary>
    public AlarmMode Alarm { get; set; }

    /// <summary>Messages chosen for the alarm.</summary>
    public HashSet<MessageKey> Alarmed { get; } = [];

    /// <summary>The page that help goes back to.</summary>
    public Page BeforeHelp { get; set; }

    /// <summary>The page that the page of a message goes back to.</summary>
    public Page BeforeMessage { get; set; }

    /// <summary>The bit under the cursor on the page of a message.</summary>
    public BitPosition Bit { get; set; } = new(0, 7);

    /// <summary>The field that is being defined, or null.</summary>
    public FieldDraft? Field { get; set; }

    /// <summary>Into which files messages went that had no definition.</summary>
    public Dictionary<MessageKey, string> NewFiles { get; } = [];

    /// <summary>First rows shown: of modules, messages, details, and of a page.</summary>
    public int[] Scroll { get; } = new int[4];

    /// <summary>Counts up when anything was changed.</summary>
    public int Version { get; private set; }

    /// <summary>Whether a module was chosen yet, by a person or at the start.</summary>
    public bool HasModule { get; set; }

    /// <summary>Says that something was changed.</summary>
    public void Touch() => Version++;
}
