using BusScope.Frames;
using BusScope.Health.Tracking;
using BusScope.Signals.Expressions;
using BusScope.Signals.Plans;

namespace BusScope.Health.Expectations;

/// <summary>
/// The <c>while</c> conditions of a definition set. The messages that they read are decoded as each frame arrives, so that
/// conditions change in order of time across messages. A value that stops coming goes on holding: the loss of the message
/// that tells the ignition state must not hide the loss of all others.
/// </summary>
internal sealed class Conditions
{
    private ConditionValues values;
    private List<DefinedMessage>[] dependents;

    // The condition of each message, or -1; and whether each condition holds.
    private int[] conditionOf;
    private bool[] holds;
    private HeldTimes[] held;

    /// <summary>The conditions of a set.</summary>
    /// <param name="plan">The set.</param>
    /// <param name="messages">Its messages.</param>
    /// <param name="keepsTimes">Whether to keep when each condition held.</param>
    public Conditions(DefinitionPlan plan, IReadOnlyList<DefinedMessage> messages, bool keepsTimes)
    {
        var expressions = new List<Expression>();
        var lists = new List<List<DefinedMessage>>();
        conditionOf = new int[messages.Count];
        foreach (var message in messages)
        {
            conditionOf[message.Index] = -1;
            if (message.Definition.While is { } condition)
            {
                var index = expressions.FindIndex(known => known.Text == condition.Text);
                if (index < 0)
                {
                    index = expressions.Count;
                    expressions.Add(condition);
                    lists.Add([]);
                }

                lists[index].Add(message);
                conditionOf[message.Index] = index;
            }
        }

        var compiled = new ConditionPlan(plan, expressions);
        values = new ConditionValues(compiled);
        dependents = [.. lists];
        holds = [.. Enumerable.Range(0, expressions.Count).Select(index => values.Holds(index) == true)];
        held = keepsTimes ? [.. expressions.Select(_ => new HeldTimes())] : [];
        foreach (var message in messages)
        {
            message.IsWatched = compiled.Reads(message.Index);
            message.IsOff = !Holds(message);
        }
    }

    /// <summary>The same conditions for copies of the messages, which go on by themselves.</summary>
    public Conditions For(IReadOnlyList<DefinedMessage> messages)
    {
        var copy = (Conditions)MemberwiseClone();
        copy.values = values.Copy();
        copy.dependents = [.. dependents.Select(list => list.ConvertAll(message => messages[message.Index]))];
        copy.conditionOf = [.. conditionOf];
        copy.holds = [.. holds];
        copy.held = Array.ConvertAll(held, times => times.Copy());
        return copy;
    }

    /// <summary>Whether something is expected of a message at the moment. What is not known does not hold.</summary>
    public bool Holds(DefinedMessage message) => conditionOf[message.Index] is var index && (index < 0 || holds[index]);

    /// <summary>When the condition of a message held, up to a moment; null where it has none, or nobody asked.</summary>
    public IReadOnlyList<HeldTime>? HeldOf(DefinedMessage message, FrameTime now) =>
        conditionOf[message.Index] is var index and >= 0 && held.Length > 0 ? held[index].Until(now) : null;

    /// <summary>Takes in a frame of a message that is read.</summary>
    public void Watch(MessageTrack track, in Frame frame)
    {
        var message = track.Defined!;
        if (!message.Takes(frame.Length) || !values.Take(message.Index, frame.Data))
        {
            return;
        }

        foreach (var index in values.Changed)
        {
            var now = values.Holds(index) == true;
            if (now != holds[index])
            {
                holds[index] = now;
                if (held.Length > 0)
                {
                    held[index].Turn(now, frame.Time);
                }

                Turn(dependents[index], now, frame.Time);
            }
        }
    }

    private static void Turn(List<DefinedMessage> messages, bool holds, FrameTime at)
    {
        foreach (var message in messages)
        {
            Turn(message.Unseen, holds, at);
            foreach (var track in message.Tracks)
            {
                track.BreakGap();
                Turn(track.Expectation, holds, at);
            }

            message.IsOff = !holds;
        }
    }

    private static void Turn(Expectation? expectation, bool holds, FrameTime at)
    {
        if (holds)
        {
            expectation?.Begin(at);
        }
        else
        {
            expectation?.End(at);
        }
    }
}
