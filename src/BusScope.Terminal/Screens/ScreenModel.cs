using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Signals.Plans;

namespace BusScope.Terminal.Screens;

/// <summary>What of a snapshot is on the screen: which modules, which messages, in which order, and which of them is chosen.</summary>
internal sealed class ScreenModel
{
    /// <summary>Stands in <see cref="Modules"/> for the line of every message.</summary>
    public const int Everything = -1;

    /// <summary>How long what changed stays on the page of changes.</summary>
    public static readonly FrameSpan Lately = FrameSpan.FromSeconds(5);

    private readonly List<int> modules = [];
    private readonly List<int> messages = [];
    private readonly List<int> events = [];
    private readonly Filter filter = new();
    private readonly BusLines buses = new();
    private readonly Comparison<int> compareModules;
    private readonly Comparison<int> compareMessages;
    private Order order;

    /// <summary>A model of a snapshot.</summary>
    public ScreenModel(SessionSnapshot snapshot)
    {
        Snapshot = snapshot;
        compareModules = (left, right) => Ordering.Modules(Health, order, left, right);
        compareMessages = (left, right) => Ordering.Messages(Health, order, left, right);
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

    /// <summary>The buses.</summary>
    public IReadOnlyList<BusLine> Buses => buses.All;

    /// <summary>The signals.</summary>
    public SignalLines Signals { get; } = new();

    /// <summary>Indexes of the events shown, the newest first.</summary>
    public IReadOnlyList<int> Events => events;

    /// <summary>The place of the chosen module in <see cref="Modules"/>, or -1.</summary>
    public int ModuleRow { get; private set; }

    /// <summary>The place of the chosen message in <see cref="Messages"/>, or -1.</summary>
    public int MessageRow { get; private set; }

    /// <summary>The place of the chosen event in <see cref="Events"/>, or -1.</summary>
    public int EventRow { get; private set; }

    /// <summary>The chosen event, or null.</summary>
    public SessionEvent? Event => EventRow >= 0 ? Snapshot.Events[events[EventRow]] : null;

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
        order = choice.Order;
        filter.Take(choice.Filter);
        buses.Update(snapshot);
        Signals.Update(snapshot, choice);
        ChooseModules(choice);
        ChooseMessages(choice);
        ChooseEvents(choice);
    }

    /// <summary>The latest readings of a bus, or null before the first.</summary>
    public BusTrace? TraceOf(string bus) => buses.TraceOf(bus);

    /// <summary>The index of what decodes a message, or -1: its definition, or what was defined of it at the screen.</summary>
    public int IndexOf(MessageHealth message) =>
        message.DefinitionIndex >= 0 || message.Id is not { } id ? message.DefinitionIndex : Snapshot.Decoding.Find(message.Bus, Health.Buses.Count == 1, id);

    /// <summary>What decodes a message, or null.</summary>
    public MessagePlan? PlanOf(MessageHealth message) =>
        IndexOf(message) is var index && index >= 0 && index < Snapshot.Decoding.Messages.Count ? Snapshot.Decoding.Messages[index] : null;

    /// <summary>How long ago a message came, or null.</summary>
    public FrameSpan? Age(MessageHealth message) => message.Last is { } last && Health.Now is { } now ? now - last : null;

    /// <summary>How long ago any byte of a message changed last, or null.</summary>
    public FrameSpan? SinceChange(MessageHealth message)
    {
        FrameTime? latest = null;
        foreach (var at in message.ChangedAt.Span)
        {
            latest = at.IsKnown && (latest is not { } known || at > known) ? at : latest;
        }

        return latest is { } changed && Health.Now is { } now ? now - changed : null;
    }

    /// <summary>Since the first frame.</summary>
    public FrameSpan SinceStart(FrameTime at) => at - (Health.First ?? at);

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

        if (order != Order.AsDefined)
        {
            modules.Sort(compareModules);
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
        var isOne = choice.Page == Page.Message;
        var module = choice.Page is Page.Unknown or Page.Changed || isOne ? null : Module;
        for (var i = 0; i < Health.Messages.Count; i++)
        {
            var message = Health.Messages[i];
            if (IsIn(choice.Page, message) && (module is null || Needs(module, message)) && (isOne || filter.Keeps(message, module, Health.Modules)))
            {
                messages.Add(i);
                HasLongIdentifiers |= message.Id is { IsExtended: true };
            }
        }

        if (order != Order.AsDefined)
        {
            messages.Sort(compareMessages);
        }

        MessageRow = choice.Message is { } key ? messages.FindIndex(index => MessageKey.Of(Health.Messages[index]) == key) : -1;
        if (MessageRow < 0 && messages.Count > 0 && !isOne)
        {
            MessageRow = Math.Max(0, module is null ? 0 : WorstRow(module));
        }
    }

    // Where all of its messages come, the eye goes to what is found against one of them.
    private int WorstRow(ModuleHealth module)
    {
        var row = module.Worst is { } worst ? messages.IndexOf(worst) : -1;
        return row >= 0 && Health.Messages[messages[row]].State is not (MessageState.Stale or MessageState.Missing) && module.Verdict == Verdict.NoGo && Faults.Starving(Health, module) is { } finding
            && messages.FindIndex(index => finding.IsAbout(Health.Messages[index])) is var found and >= 0 ? found : row;
    }

    private bool IsIn(Page page, MessageHealth message) => page switch
    {
        Page.Unknown => message.Definition is null,
        Page.Changed => SinceChange(message) is { } since && since <= Lately,
        _ => true,
    };

    private void ChooseEvents(Choice choice)
    {
        events.Clear();
        EventRow = -1;
        for (var i = Snapshot.Events.Count - 1; i >= 0; i--)
        {
            if (filter.Keeps(Snapshot.Events[i]))
            {
                EventRow = ReferenceEquals(Snapshot.Events[i], choice.Event) ? events.Count : EventRow;
                events.Add(i);
            }
        }

        EventRow = EventRow < 0 && events.Count > 0 ? 0 : EventRow;
    }

    /// <summary>Whether a module lives on a message.</summary>
    public static bool Needs(ModuleHealth module, MessageHealth message) =>
        message.Definition is { } definition && Contains(definition.NeededBy, module.Definition.Name);

    // A module stays when it, or anything that it lives on, is what was asked for.
    private bool ModuleMatches(ModuleHealth module)
    {
        if (filter.Keeps(module))
        {
            return true;
        }

        foreach (var message in Health.Messages)
        {
            if (Needs(module, message) && filter.Keeps(message, module, Health.Modules))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether a name is among others.</summary>
    public static bool Contains(IReadOnlyList<string> names, string name)
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
}
