using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;

namespace BusScope.Terminal.Screens;

/// <summary>What of a snapshot is on the screen: which modules, which messages, in which order, and which of them is chosen.</summary>
internal sealed class ScreenModel
{
    /// <summary>Stands in <see cref="Modules"/> for the line of every message.</summary>
    public const int Everything = -1;

    private readonly List<int> modules = [];
    private readonly List<int> messages = [];
    private readonly Comparison<int> worseModule;
    private readonly Comparison<int> worseMessage;
    private string[] words = [];

    /// <summary>A model of a snapshot.</summary>
    public ScreenModel(SessionSnapshot snapshot)
    {
        Snapshot = snapshot;
        worseModule = (left, right) => CompareModules(left, right);
        worseMessage = (left, right) => Badness(right) is var b && Badness(left) is var a && a != b ? b.CompareTo(a) : left.CompareTo(right);
    }

    /// <summary>What is shown.</summary>
    public SessionSnapshot Snapshot { get; private set; }

    /// <summary>Its report.</summary>
    public HealthReport Health => Snapshot.Health;

    /// <summary>Whether any definition is in use; without, the screen shows identifiers and bytes.</summary>
    public bool HasDefinitions => Snapshot.Plan.Definitions.Messages.Count > 0;

    /// <summary>Whether modules are defined, or identifiers stand alone.</summary>
    public bool HasModules => Health.Modules.Count > 0;

    /// <summary>Indexes of the modules shown; the last line is <see cref="Everything"/>.</summary>
    public IReadOnlyList<int> Modules => modules;

    /// <summary>Indexes of the messages shown.</summary>
    public IReadOnlyList<int> Messages => messages;

    /// <summary>The place of the chosen module in <see cref="Modules"/>, or -1.</summary>
    public int ModuleRow { get; private set; }

    /// <summary>The place of the chosen message in <see cref="Messages"/>, or -1.</summary>
    public int MessageRow { get; private set; }

    /// <summary>The chosen module, or null.</summary>
    public ModuleHealth? Module => ModuleRow >= 0 && modules[ModuleRow] is var index and not Everything ? Health.Modules[index] : null;

    /// <summary>The chosen message, or null.</summary>
    public MessageHealth? Message => MessageRow >= 0 ? Health.Messages[messages[MessageRow]] : null;

    /// <summary>How many modules do not get what they live on.</summary>
    public int Starving { get; private set; }

    /// <summary>Whether any identifier shown has 29 bits.</summary>
    public bool HasLongIdentifiers { get; private set; }

    /// <summary>Takes a snapshot and a choice; where what was chosen is gone, the choice moves to what is there.</summary>
    public void Update(SessionSnapshot snapshot, Choice choice)
    {
        Snapshot = snapshot;
        choice.Part = HasModules || choice.Part != Part.Modules ? choice.Part : Part.Messages;
        words = choice.Filter.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        ChooseModules(choice);
        ChooseMessages(choice);
    }

    /// <summary>How long ago a message came, or null.</summary>
    public FrameSpan? Age(MessageHealth message) => message.Last is { } last && Health.Now is { } now ? now - last : null;

    /// <summary>Since the first frame.</summary>
    public FrameSpan SinceStart(FrameTime at) => at - (Health.First ?? at);

    /// <summary>The finding that starves a module although its messages come, or null.</summary>
    public Finding? FindingFor(ModuleHealth module)
    {
        foreach (var finding in Health.Findings)
        {
            if (finding.Severity == FindingSeverity.Fault && Contains(finding.Modules, module.Definition.Name))
            {
                return finding;
            }
        }

        return null;
    }

    private void ChooseModules(Choice choice)
    {
        modules.Clear();
        Starving = 0;
        for (var i = 0; i < Health.Modules.Count; i++)
        {
            Starving += Health.Modules[i].Verdict == Verdict.NoGo ? 1 : 0;
            if (ModuleMatches(Health.Modules[i]))
            {
                modules.Add(i);
            }
        }

        if (choice.WorstFirst)
        {
            modules.Sort(worseModule);
        }

        if (!choice.HasModule && modules.Count > 0)
        {
            // At the start the eye goes to what is wrong.
            var first = modules.FindIndex(index => Health.Modules[index].Verdict == Verdict.NoGo);
            choice.Module = Health.Modules[modules[Math.Max(0, first)]].Definition.Name;
        }

        modules.Add(Everything);
        ModuleRow = modules.FindIndex(index => index == Everything ? choice.Module is null : Health.Modules[index].Definition.Name == choice.Module);
        if (ModuleRow < 0)
        {
            ModuleRow = 0;
        }
    }

    private void ChooseMessages(Choice choice)
    {
        messages.Clear();
        HasLongIdentifiers = false;
        var module = Module;
        for (var i = 0; i < Health.Messages.Count; i++)
        {
            var message = Health.Messages[i];
            if ((module is null || Needs(module, message)) && MessageMatches(message, module))
            {
                messages.Add(i);
                HasLongIdentifiers |= message.Id is { IsExtended: true };
            }
        }

        if (choice.WorstFirst)
        {
            messages.Sort(worseMessage);
        }

        MessageRow = choice.Message is { } key ? messages.FindIndex(index => MessageKey.Of(Health.Messages[index]) == key) : -1;
        if (MessageRow < 0 && messages.Count > 0)
        {
            MessageRow = module?.Worst is { } worst && messages.IndexOf(worst) is var at and >= 0 ? at : 0;
        }
    }

    private static bool Needs(ModuleHealth module, MessageHealth message) =>
        message.Definition is { } definition && Contains(definition.NeededBy, module.Definition.Name);

    // A module stays when it, or anything that it lives on, is what was asked for.
    private bool ModuleMatches(ModuleHealth module)
    {
        if (words.Length == 0 || Matches(module))
        {
            return true;
        }

        foreach (var message in Health.Messages)
        {
            if (Needs(module, message) && MessageMatches(message, module))
            {
                return true;
            }
        }

        return false;
    }

    private bool Matches(ModuleHealth module) => Array.TrueForAll(words, word => Has(word, module));

    private bool MessageMatches(MessageHealth message, ModuleHealth? module) =>
        words.Length == 0 || Array.TrueForAll(words, word => Has(word, message) || (module is not null && Has(word, module)));

    private static bool Has(string word, ModuleHealth module) =>
        Has(word, module.Definition.Name) || Has(word, module.Definition.Title) || Has(word, Drawing.Marks.Word(module.Verdict));

    private static bool Has(string word, MessageHealth message) =>
        Has(word, message.Definition?.Name)
        || Has(word, message.Definition?.From)
        || Has(word, message.Bus)
        || Has(word, Drawing.Marks.Word(message.State))
        || Has(word, message.Id?.ToString());

    private static bool Has(string word, string? text) => text?.Contains(word, StringComparison.OrdinalIgnoreCase) ?? false;

    private static bool Contains(IReadOnlyList<string> names, string name)
    {
        for (var i = 0; i < names.Count; i++)
        {
            if (names[i] == name)
            {
                return true;
            }
        }

        return false;
    }

    private int CompareModules(int left, int right)
    {
        var (a, b) = (Rank(Health.Modules[left].Verdict), Rank(Health.Modules[right].Verdict));
        return a != b ? b.CompareTo(a) : left.CompareTo(right);
    }

    private static int Rank(Verdict verdict) => verdict switch { Verdict.NoGo => 2, Verdict.Inconclusive => 1, _ => 0 };

    private int Badness(int index)
    {
        var message = Health.Messages[index];
        var state = message.State switch
        {
            MessageState.Missing => 8,
            MessageState.Stale => 7,
            MessageState.Late => 4,
            MessageState.Awaited => 2,
            MessageState.Fresh => 1,
            _ => 0,
        };
        var found = message.Worst switch { FindingSeverity.Fault => 6, FindingSeverity.Warning => 3, _ => 0 };
        return Math.Max(state, found);
    }
}
