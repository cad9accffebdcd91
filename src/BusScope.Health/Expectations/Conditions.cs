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
    private readonly Condition?[] conditionOf;
    private readonly Operand[][] operandsOf;

    /// <summary>The conditions of a set.</summary>
    public Conditions(DefinitionPlan plan, IReadOnlyList<DefinedMessage> messages)
    {
        conditionOf = new Condition?[messages.Count];
        operandsOf = new Operand[messages.Count][];
        Array.Fill(operandsOf, []);
        var byText = new Dictionary<string, Condition>(StringComparer.Ordinal);
        foreach (var message in messages)
        {
            if (message.Definition.While is not { } expression)
            {
                continue;
            }

            if (!byText.TryGetValue(expression.Text, out var condition))
            {
                condition = new Condition(expression);
                byText.Add(expression.Text, condition);
                Attach(condition, plan, messages);
            }

            condition.Dependents.Add(message);
            conditionOf[message.Index] = condition;
        }
    }

    /// <summary>Whether something is expected of a message at the moment.</summary>
    public bool Holds(DefinedMessage message) => conditionOf[message.Index]?.Holds ?? true;

    /// <summary>Takes in a frame of a message that is read.</summary>
    public void Watch(MessageTrack track, in Frame frame)
    {
        var message = track.Defined!;
        if (!message.Takes(frame.Length))
        {
            return;
        }

        foreach (var operand in operandsOf[message.Index])
        {
            var sample = message.Plan.Read(operand.Signal, frame.Data);
            if (sample.Quality == SampleQuality.Absent)
            {
                continue;
            }

            ref var value = ref operand.Condition.Values[operand.Position];
            var now = sample.Quality is SampleQuality.NotAvailable or SampleQuality.Error ? double.NaN : sample.Value;
            if (!value.Equals(now))
            {
                value = now;
                Evaluate(operand.Condition, frame.Time);
            }
        }
    }

    private static void Evaluate(Condition condition, FrameTime at)
    {
        // Not known is not true: NaN compares false with everything.
        var holds = condition.Expression.Evaluate(condition.Values) is < 0 or > 0;
        if (holds == condition.Holds)
        {
            return;
        }

        condition.Holds = holds;
        foreach (var message in condition.Dependents)
        {
            foreach (var track in message.Tracks)
            {
                track.BreakGap();
            }

            foreach (var expectation in message.Expectations())
            {
                if (holds)
                {
                    expectation.Begin(at);
                }
                else
                {
                    expectation.End(at);
                }
            }
        }
    }

    private void Attach(Condition condition, DefinitionPlan plan, IReadOnlyList<DefinedMessage> messages)
    {
        for (var i = 0; i < condition.Values.Length; i++)
        {
            condition.Values[i] = double.NaN;
            if (plan.FindSignal(condition.Expression.References[i].Name) is { } place)
            {
                operandsOf[place.Message] = [.. operandsOf[place.Message], new Operand(place.Signal, condition, i)];
                messages[place.Message].IsWatched = true;
            }
        }
    }

    private sealed class Condition(Expression expression)
    {
        public Expression Expression => expression;

        public double[] Values { get; } = new double[expression.References.Count];

        public List<DefinedMessage> Dependents { get; } = [];

        public bool Holds { get; set; }
    }

    private readonly record struct Operand(int Signal, Condition Condition, int Position);
}
