namespace BusScope.Frames;

/// <summary>
/// Where a source stands between two readings, with all that it knows by then: its buses, its problems, what it still holds. Immutable.
/// A source of the same recording that was opened afresh can begin there instead of at the beginning
/// (<see cref="IFrameSource.BeginAt"/>), and goes on exactly as the one that stood there.
/// </summary>
public abstract record SourcePlace;
