using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// Knows of every signal of the definitions its latest reading, the smallest and the largest valid value, and what it did lately, and follows in full those
/// that somebody looks at. Used by the session's thread.
/// </summary>
public sealed class SignalWatch
{
    private readonly RowRoom room = new();
    private readonly TraceRoom traces = new();
    private readonly ComputedSignals computed;
    private readonly List<FollowedMessage> messages = [];

    // What is followed in full.
    private readonly HashSet<SignalKey> seen = [];
    private DefinitionPlan plan;
    private bool[] isComputedFrom = [];
    private MessageIndex[] indexes = [];

    /// <summary>A watch that has seen nothing yet.</summary>
    public SignalWatch(DefinitionPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        this.plan = plan;
        computed = new ComputedSignals(plan);
        MakeRoom();
    }

    /// <summary>Follows the signals of a wider plan from now on. What is known of those that it had before stays.</summary>
    /// <param name="wider">The plan so far with signals behind those of its messages, and with messages behind its own.</param>
    public void Widen(DefinitionPlan wider)
    {
        ArgumentNullException.ThrowIfNull(wider);
        if (ReferenceEquals(wider, plan))
        {
            return;
        }

        (plan, indexes) = (wider, []);
        computed.Widen(plan);
        for (var i = 0; i < messages.Count; i++)
        {
            messages[i].Widen(plan.Messages[i]);
        }

        MakeRoom();
    }

    /// <summary>The field that is being defined.</summary>
    public FieldWatch Field { get; } = new();

    /// <summary>Takes in a batch.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    public void Accept(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        ArgumentNullException.ThrowIfNull(buses);
        Field.Accept(batch, buses);
        if (messages.Count == 0)
        {
            return;
        }

        if (indexes.Length != buses.Count)
        {
            Meet(buses);
        }

        foreach (ref readonly var frame in batch.Frames)
        {
            if (frame.CarriesData && indexes[frame.Bus].Find(frame.Id) is var message and >= 0)
            {
                messages[message].Add(frame);
                if (isComputedFrom[message])
                {
                    computed.Take(message, frame, traces);
                }
            }
        }
    }

    /// <summary>What the wanted signals said so far; one that has not been met is left out. They are followed in full as long as they are wanted.</summary>
    /// <param name="requests">Which, and how their traces are cut.</param>
    /// <param name="now">Where time stands, or null before the first frame.</param>
    public IReadOnlyList<SignalReading> Readings(IReadOnlyList<ReadingRequest> requests, FrameTime? now)
    {
        ArgumentNullException.ThrowIfNull(requests);
        LookAwayFromOthers(requests);
        if (requests.Count == 0)
        {
            return [];
        }

        var readings = new List<SignalReading>(requests.Count);
        foreach (var request in requests)
        {
            if (Find(request.Key) is { } signal)
            {
                if (signal.Fine is null && signal.NeedsFine(request))
                {
                    messages[request.Key.Message].Look(request.Key.Signal);
                    seen.Add(request.Key);
                }

                readings.Add(signal.Reading(request, now));
            }
        }

        return readings;
    }

    private FollowedSignal? Find(SignalKey key) =>
        key.IsComputed ? computed.Signal(key.Signal) : key.Message < messages.Count ? messages[key.Message].Signal(key.Signal) : null;

    // Apart from the path of every batch, which must not make room for what is captured here.
    private void Meet(IReadOnlyList<Bus> buses) => indexes = [.. buses.Select(bus => plan.On(bus.Name, buses.Count == 1))];

    private void MakeRoom()
    {
        for (var i = messages.Count; i < plan.Messages.Count; i++)
        {
            messages.Add(new FollowedMessage(plan.Messages[i], room, traces));
        }

        isComputedFrom = [.. Enumerable.Range(0, messages.Count).Select(computed.Read)];
    }

    private void LookAwayFromOthers(IReadOnlyList<ReadingRequest> requests)
    {
        foreach (var key in seen)
        {
            if (!Contains(requests, key) && Find(key) is { } signal)
            {
                signal.Fine = null;
                seen.Remove(key);
            }
        }
    }

    private static bool Contains(IReadOnlyList<ReadingRequest> requests, SignalKey key)
    {
        for (var i = 0; i < requests.Count; i++)
        {
            if (requests[i].Key == key)
            {
                return true;
            }
        }

        return false;
    }
}
