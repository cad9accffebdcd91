using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// Follows every signal of the definitions, frame by frame: its latest reading, the smallest and the largest valid value, and what
/// it did lately. Used by the session's thread; allocates nothing per frame once every signal has been met.
/// </summary>
public sealed class SignalWatch
{
    /// <summary>The most signals of which traces are kept: about 12 kB each. Further ones have their latest, smallest and largest value alone.</summary>
    public const int MostTraces = 4_096;

    private readonly Followed?[] computed;
    private DefinitionPlan plan;
    private FollowedMessage[] followed;
    private ConditionPlan computedPlan;
    private ConditionValues computedValues;
    private MessageIndex[] indexes = [];
    private int traces;

    /// <summary>A watch that has seen nothing yet.</summary>
    public SignalWatch(DefinitionPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        this.plan = plan;
        followed = [.. plan.Messages.Select(message => new FollowedMessage(message, []))];
        computed = new Followed?[plan.Definitions.Computed.Count];
        (computedPlan, computedValues) = Computed(plan);
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
        followed = [.. plan.Messages.Select((message, i) => new FollowedMessage(message, i < followed.Length ? followed[i].Signals : []))];
        (computedPlan, computedValues) = Computed(plan);
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
        if (plan.Messages.Count == 0)
        {
            return;
        }

        if (indexes.Length != buses.Count)
        {
            indexes = [.. buses.Select(bus => plan.On(bus.Name, buses.Count == 1))];
        }

        foreach (ref readonly var frame in batch.Frames)
        {
            if (frame.CarriesData && indexes[frame.Bus].Find(frame.Id) is var message and >= 0)
            {
                Accept(message, in frame);
            }
        }
    }

    /// <summary>What the wanted signals said so far; one that has not been met is left out.</summary>
    /// <param name="requests">Which, and how their traces are cut.</param>
    /// <param name="now">Where time stands, or null before the first frame.</param>
    public IReadOnlyList<SignalReading> Readings(IReadOnlyList<ReadingRequest> requests, FrameTime? now)
    {
        ArgumentNullException.ThrowIfNull(requests);
        if (requests.Count == 0)
        {
            return [];
        }

        var readings = new List<SignalReading>(requests.Count);
        foreach (var request in requests)
        {
            if (Find(request.Key) is { } signal)
            {
                readings.Add(signal.Reading(request, now ?? signal.At));
            }
        }

        return readings;
    }

    private static (ConditionPlan, ConditionValues) Computed(DefinitionPlan plan)
    {
        var compiled = new ConditionPlan(plan, [.. plan.Definitions.Computed.Select(each => each.Expression)]);
        return (compiled, new ConditionValues(compiled));
    }

    private Followed? Find(SignalKey key) =>
        key.IsComputed ? Within(computed, key.Signal) : key.Message < followed.Length ? Within(followed[key.Message].Signals, key.Signal) : null;

    private static Followed? Within(Followed?[] signals, int index) => index >= 0 && index < signals.Length ? signals[index] : null;

    private void Accept(int message, in Frame frame)
    {
        var known = followed[message];
        for (var i = 0; i < known.Signals.Length; i++)
        {
            if (known.IsText[i])
            {
                continue;
            }

            var sample = known.Plan.Read(i, frame.Data);
            if (sample.Quality != SampleQuality.Absent)
            {
                Take(ref known.Signals[i], sample, frame.Time, known.LargestRates[i]);
            }
        }

        if (computedPlan.Reads(message) && computedValues.Take(message, frame.Data))
        {
            foreach (var index in computedValues.Changed)
            {
                var value = computedValues[index];
                Take(ref computed[index], new Sample(0, value, double.IsNaN(value) ? SampleQuality.NotAvailable : SampleQuality.Ok), frame.Time, null);
            }
        }
    }

    private void Take(ref Followed? signal, in Sample sample, FrameTime at, double? largestRate)
    {
        if (signal is null)
        {
            signal = new Followed(traces < MostTraces ? new SignalTrace() : null);
            traces++;
        }

        signal.Take(sample, at, largestRate);
    }

    /// <summary>The signals of a message, and what of their definitions is asked with every frame.</summary>
    /// <param name="plan">How they are read.</param>
    /// <param name="known">What is known of the first of them.</param>
    private sealed class FollowedMessage(MessagePlan plan, IReadOnlyList<Followed?> known)
    {
        public MessagePlan Plan => plan;

        public Followed?[] Signals { get; } = [.. known, .. new Followed?[plan.Signals.Count - known.Count]];

        public bool[] IsText { get; } = [.. plan.Signals.Select(signal => signal.Definition.Encoding == SignalEncoding.Text)];

        public double?[] LargestRates { get; } = [.. plan.Signals.Select(signal => signal.Definition.LargestRate)];
    }

    private sealed class Followed(SignalTrace? trace)
    {
        private RateWatch rate;
        private Sample latest;
        private double smallest = double.PositiveInfinity;
        private double largest = double.NegativeInfinity;

        public FrameTime At { get; private set; }

        public void Take(in Sample sample, FrameTime at, double? largestRate)
        {
            latest = largestRate is null ? sample : rate.Judge(sample, at, largestRate);
            At = at;

            // What is out of range was said all the same, and is what somebody looks for; a spike beyond belief is not.
            if (latest.Quality is SampleQuality.Ok or SampleQuality.OutOfRange && double.IsFinite(latest.Value))
            {
                smallest = latest.Value < smallest ? latest.Value : smallest;
                largest = latest.Value > largest ? latest.Value : largest;
                trace?.Take(at, latest.Value);
            }
        }

        public SignalReading Reading(ReadingRequest request, FrameTime now)
        {
            var (before, end, ahead) = (TraceBin.None, now, 0);
            var columns = trace is null || request.Columns <= 0 ? [] : new TraceBin[Math.Min(request.Columns, ReadingRequest.MostColumns)];
            if (columns.Length > 0)
            {
                (end, ahead) = trace!.Fill(now, request.Window, columns, Math.Clamp(request.Step, 1, columns.Length), out before);
            }

            var hasValue = smallest <= largest;
            return new SignalReading(request, latest, At, hasValue ? smallest : double.NaN, hasValue ? largest : double.NaN, columns, before) { Ahead = ahead, End = end };
        }
    }
}
