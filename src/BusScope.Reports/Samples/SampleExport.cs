using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Reports.Samples;

/// <summary>Decodes frames as they come and hands every value to a writer, in the order of the frames.</summary>
public sealed class SampleExport
{
    private readonly DefinitionPlan plan;
    private readonly ISampleWriter writer;
    private readonly List<Dictionary<CanId, Stream?>> streams = [];
    private readonly ConditionPlan computed;
    private readonly ConditionValues computedValues;
    private readonly int[] computedColumns;
    private FrameTime first = FrameTime.Never;

    /// <summary>An export that has seen no frame yet.</summary>
    /// <param name="plan">The definitions.</param>
    /// <param name="writer">Where values go.</param>
    public SampleExport(DefinitionPlan plan, ISampleWriter writer)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(writer);
        this.plan = plan;
        this.writer = writer;
        var definitions = plan.Definitions.Computed;
        computed = new ConditionPlan(plan, [.. definitions.Select(each => each.Expression)]);
        computedValues = new ConditionValues(computed);
        computedColumns = [.. definitions.Select(each => writer.Declare(new SampleColumn("", "", each.Name, each.Unit)))];
    }

    /// <summary>Whether a frame came that a definition claims.</summary>
    public bool HasMetMessage { get; private set; }

    /// <summary>Whether named values stand as their name, not as their number.</summary>
    public bool WithNames { get; init; }

    /// <summary>Whether times count from the first frame, not from the Unix epoch.</summary>
    public bool IsRelative { get; init; }

    /// <summary>Decodes a batch.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    /// <exception cref="IOException">The output cannot be written.</exception>
    public void Accept(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        ArgumentNullException.ThrowIfNull(buses);
        if (streams.Count < buses.Count)
        {
            // With a second bus, a message that any only bus may carry has to be looked up anew.
            streams.ForEach(bus => bus.Clear());
            while (streams.Count < buses.Count)
            {
                streams.Add([]);
            }
        }

        foreach (ref readonly var frame in batch.Frames)
        {
            first = first.IsKnown ? first : frame.Time;
            if (!frame.CarriesData)
            {
                continue;
            }

            var ofBus = streams[frame.Bus];
            if (!ofBus.TryGetValue(frame.Id, out var stream))
            {
                var message = plan.Find(buses[frame.Bus].Name, buses.Count == 1, frame.Id);
                ofBus.Add(frame.Id, stream = message < 0 ? null : new Stream(message, plan.Messages[message], buses[frame.Bus].Name, writer));
            }

            if (stream is not null)
            {
                HasMetMessage = true;
                var time = IsRelative ? new FrameTime((frame.Time - first).Nanoseconds) : frame.Time;
                Write(stream, in frame, time);
                if (computed.Reads(stream.Message) && computedValues.Take(stream.Message, frame.Data))
                {
                    WriteComputed(time);
                }
            }
        }
    }

    /// <summary>Hands everything so far to the output.</summary>
    public void Flush() => writer.Flush();

    private void Write(Stream stream, in Frame frame, FrameTime time)
    {
        for (var i = 0; i < stream.Columns.Length; i++)
        {
            var signal = stream.Plan.Signals[i];
            var sample = stream.Rates[i].Judge(stream.Plan.Read(i, frame.Data), frame.Time, signal.Definition.LargestRate);
            if (sample.Quality == SampleQuality.Absent)
            {
                continue;
            }

            var isText = signal.Definition.Encoding == SignalEncoding.Text;
            var text = isText ? CleanText.Clean(signal.Text(frame.Data) ?? "")
                : WithNames ? signal.NameOf(sample.Raw)
                : null;
            writer.Write(new SampleRow
            {
                Time = time,
                Column = stream.Columns[i],
                Sample = sample,
                Text = text,
                HasText = text is not null,
                HasRaw = !isText,
            });
        }
    }

    // A computed signal has no frame of its own: it gives a value whenever that changes.
    private void WriteComputed(FrameTime time)
    {
        foreach (var index in computedValues.Changed)
        {
            var value = computedValues[index];
            var quality = double.IsNaN(value) ? SampleQuality.NotAvailable : SampleQuality.Ok;
            writer.Write(new SampleRow { Time = time, Column = computedColumns[index], Sample = new Sample(0, value, quality) });
        }
    }

    // The frames of one identifier on one bus, and under which numbers the writer knows their signals.
    private sealed class Stream(int message, MessagePlan plan, string bus, ISampleWriter writer)
    {
        public int Message => message;

        public MessagePlan Plan => plan;

        public RateWatch[] Rates { get; } = new RateWatch[plan.Signals.Count];

        public int[] Columns { get; } =
            [.. plan.Signals.Select(signal => writer.Declare(new SampleColumn(bus, plan.Definition.Name, signal.Definition.Name, signal.Definition.Unit)))];
    }
}
