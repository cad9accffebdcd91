using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;

namespace BusScope.Session;

/// <summary>What a session follows, live or replayed: a source, what is known of it, and its time. Used by one thread.</summary>
internal interface IFollowed : IDisposable
{
    /// <summary>The source.</summary>
    IFrameSource Source { get; }

    /// <summary>What takes the frames in.</summary>
    HealthMonitor Monitor { get; }

    /// <summary>What happened so far.</summary>
    EventLog Events { get; }

    /// <summary>What its signals say; null where nobody looks at them.</summary>
    SignalWatch? Signals { get; }

    /// <summary>How far time has gone on; null before the first frame.</summary>
    FrameTime? Now { get; }

    /// <summary>How long nothing will be due; null for a live source, which waits by itself.</summary>
    TimeSpan? UntilNext { get; }

    /// <summary>Once round: what there is is read and taken in, and time goes on.</summary>
    /// <exception cref="SourceException">The source failed; all that it gave was taken in.</exception>
    SourceState Turn(CancellationToken cancellation);

    /// <summary>What is known now.</summary>
    HealthReport Report(bool isFinal);
}
