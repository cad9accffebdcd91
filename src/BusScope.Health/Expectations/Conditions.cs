using BusScope.Frames;
using BusScope.Health.Tracking;
using BusScope.Signals.Plans;

namespace BusScope.Health.Expectations;

/// <summary>
/// The <c>while</c> conditions of a definition set. The messages that they read are decoded as each frame arrives, so that
/// conditions change in order of time across messages. What a message told is forgotten once it is stale: whether the others should
/// still come cannot be known then. That it does not come is found against itself.
/// </summary>
internal sealed class Conditions
{
    private ConditionValues values;
    private List<Condition> all = [];
    private List<Teller> tellers;
    private HeardUntil heardUntil;

    // The teller of each message, or null.
    private Teller?[] tellerOf;

    /// <summary>The conditions of a set.</summary>
    /// <param name="plan">The set.</param>
    /// <param name="messages">Its messages.</param>
    /// <param name="keepsTimes">Whether to keep when each condition held.</param>
    /// <param name="heardUntil">Until when the bus of a message was heard.</param>
    public Conditions(DefinitionPlan plan, IReadOnlyList<DefinedMessage> messages, bool keepsTimes, HeardUntil heardUntil)
    {
        this.heardUntil = heardUntil;
        var dependents = messages.Where(message => message.Definition.While is not null).GroupBy(message => message.Definition.While!.Text, StringComparer.Ordinal).ToList();
        var compiled = new ConditionPlan(plan, [.. dependents.Select(group => group.First().Definition.While!)]);
        values = new ConditionValues(compiled);
        tellers = [.. messages.Where(message => compiled.Reads(message.Index)).Select(message => new Teller(message))];
        tellerOf = new Teller?[messages.Count];
        for (var index = 0; index < dependents.Count; index++)
        {
            var read = compiled.MessagesOf(index);
            all.Add(new Condition(dependents[index].Key, values.Holds(index), [.. tellers.Where(teller => read.Contains(teller.Message))], [.. dependents[index]], keepsTimes));
        }

        foreach (var message in messages)
        {
            message.IsWatched = compiled.Reads(message.Index);
        }

        Bind();
    }

    /// <summary>In the order in which the definitions name them.</summary>
    public IReadOnlyList<Condition> All => all;

    /// <summary>The same conditions for copies of the messages, which go on by themselves.</summary>
    public Conditions For(IReadOnlyList<DefinedMessage> messages, HeardUntil otherHeardUntil)
    {
        var copy = (Conditions)MemberwiseClone();
        copy.heardUntil = otherHeardUntil;
        copy.values = values.Copy();
        copy.tellers = tellers.ConvertAll(teller => teller.For(messages));
        copy.tellerOf = new Teller?[tellerOf.Length];
        copy.all = all.ConvertAll(condition => condition.For(copy.tellers, messages));
        copy.Bind();
        return copy;
    }

    /// <summary>Takes in a frame of a message that is read.</summary>
    public void Watch(MessageTrack track, in Frame frame)
    {
        var message = track.Defined!;
        if (!message.Takes(frame.Length))
        {
            return;
        }

        Forget(frame.Time);
        var teller = tellerOf[message.Index]!;
        var before = teller.KnownUntil(frame.Time);
        teller.Tell(frame.Time);
        if (values.Take(message.Index, frame.Data))
        {
            Turn(frame.Time, before, null);
        }
    }

    /// <summary>No bus spoke between two moments: nothing could be told.</summary>
    public void Interrupt(FrameTime from, FrameTime until) => tellers.ForEach(teller => teller.Interrupt(from, until));

    /// <summary>The clock of a bus was set back, or nothing could be seen of it until now: what was told last is good for another while.</summary>
    public void Restart(IEnumerable<MessageTrack> tracks, FrameTime at)
    {
        foreach (var track in tracks.Where(track => track.IsWatched))
        {
            tellerOf[track.Defined!.Index]!.Restart(at);
        }
    }

    // Only when something is told: then it does not matter who asks when.
    private void Forget(FrameTime now)
    {
        foreach (var teller in tellers)
        {
            if (teller.IsStaleAt(now) && values.Forget(teller.Message))
            {
                // One that is off by a condition of its own was not lost.
                Turn(teller.Last, teller.Last, teller.IsOff ? null : teller);
            }
        }
    }

    private void Turn(FrameTime at, FrameTime before, Teller? silent)
    {
        foreach (var index in values.Changed)
        {
            all[index].Turn(values.Holds(index), at, before, silent, heardUntil);
        }
    }

    private void Bind()
    {
        foreach (var teller in tellers)
        {
            tellerOf[teller.Message] = teller;
        }

        foreach (var condition in all)
        {
            foreach (var message in condition.Dependents)
            {
                message.DependOn(condition);
            }
        }
    }
}
