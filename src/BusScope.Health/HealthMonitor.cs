using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Health;

/// <summary>What a monitor shall measure beside the expectations.</summary>
public sealed record MonitorOptions
{
    /// <summary>Measure the exact length of every frame on the wire, for bus load.</summary>
    public bool MeasureLoad { get; init; } = true;

    /// <summary>Note when each payload byte changed last, for live views.</summary>
    public bool MarkChanges { get; init; }

    /// <summary>Bit rates by name of bus, where neither source nor definitions know them; the empty name stands for every bus.</summary>
    public IReadOnlyDictionary<string, long> BitRates { get; init; } = new Dictionary<string, long>();
}

/// <summary>Holds arriving frames against the expectations of a definition set. Knows no clock: time comes with the frames, or by <see cref="Advance"/>.</summary>
public sealed class HealthMonitor
{
    /// <summary>A monitor that has seen nothing yet.</summary>
    public HealthMonitor(DefinitionPlan plan, MonitorOptions options)
    {
        Plan = plan;
        Options = options;
    }

    /// <summary>What the frames are held against.</summary>
    public DefinitionPlan Plan { get; }

    /// <summary>What is measured beside.</summary>
    public MonitorOptions Options { get; }

    /// <summary>Takes in a batch. Allocates nothing once every identifier has been met.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    public void Accept(FrameBatch batch, IReadOnlyList<Bus> buses) => throw new NotImplementedException();

    /// <summary>Lets time go on without frames, so that silence is noticed.</summary>
    public void Advance(FrameTime now) => throw new NotImplementedException();

    /// <summary>What is known now; with <paramref name="isFinal"/> what a check says once the source has ended.</summary>
    public HealthReport Report(bool isFinal) => throw new NotImplementedException();
}
