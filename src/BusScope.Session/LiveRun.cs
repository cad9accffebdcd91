using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;

namespace BusScope.Session;

/// <summary>A live source as a session follows it: events are looked for whenever a report is made.</summary>
/// <param name="source">The source; disposed with this.</param>
/// <param name="monitor">What takes the frames in.</param>
/// <param name="time">Where the time of the room comes from.</param>
internal sealed class LiveRun(IFrameSource source, HealthMonitor monitor, TimeProvider time) : IFollowed
{
    private readonly FrameBatch batch = new();
    private readonly LiveClock clock = new(time, source.Clock);

    /// <inheritdoc/>
    public IFrameSource Source => source;

    /// <inheritdoc/>
    public HealthMonitor Monitor => monitor;

    /// <inheritdoc/>
    public EventLog Events { get; } = new();

    /// <inheritdoc/>
    public SignalWatch Signals { get; } = new(monitor.Plan);

    /// <inheritdoc/>
    public FrameTime? Now => clock.Now;

    /// <inheritdoc/>
    public TimeSpan? UntilNext => null;

    /// <inheritdoc/>
    public SourceState Turn(CancellationToken cancellation)
    {
        var state = source.Read(batch, cancellation);
        _ = LiveTurn.Accept(source, monitor, clock, batch);
        Signals.Accept(batch, source.Buses);
        return state;
    }

    /// <inheritdoc/>
    public HealthReport Report(bool isFinal)
    {
        LiveTurn.TellLost(source, monitor);
        var report = monitor.Report(isFinal);
        Events.Compare(report);
        Events.Compare(source);
        return report;
    }

    /// <inheritdoc/>
    public void Dispose() => source.Dispose();
}
