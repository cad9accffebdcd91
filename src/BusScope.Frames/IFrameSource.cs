using BusScope.Frames.Diagnostics;

namespace BusScope.Frames;

/// <summary>Anything frames come from: a capture, a stream, an adapter, the simulator. Used by one thread at a time.</summary>
public interface IFrameSource : IDisposable
{
    /// <summary>What a person calls the source: the path, the adapter, <c>demo:healthy</c>.</summary>
    string Name { get; }

    /// <summary>
    /// The buses met so far. The list only grows, while reading; a frame's <see cref="Frame.Bus"/> is always an index into it.
    /// </summary>
    IReadOnlyList<Bus> Buses { get; }

    /// <summary>What was wrong with the data so far, counted by kind.</summary>
    ProblemLog Problems { get; }

    /// <summary>Comments on the frames as a whole, met so far, as they were recorded: clean them before they reach a terminal.</summary>
    IReadOnlyList<string> Comments => [];

    /// <summary>How far reading has come, 0 to 1, or null where the end is not known.</summary>
    double? Progress { get; }

    /// <summary>Whether frames come as they happen, and by whose clock they are stamped. The same for the life of the source.</summary>
    SourceClock Clock => SourceClock.Recorded;

    /// <summary>What the adapter of a bus says about itself, as it stands now; null for what has no adapter.</summary>
    /// <param name="bus">Index into <see cref="Buses"/>.</param>
    ControllerStatus? StatusOf(int bus) => null;

    /// <summary>The state alone of the adapter of a bus, cheap enough to be asked with every batch; null for what has no adapter.</summary>
    /// <param name="bus">Index into <see cref="Buses"/>.</param>
    ControllerState? StateOf(int bus) => StatusOf(bus)?.State;

    /// <summary>
    /// Clears the batch and fills it again. A capture fills it whole; a live source gives what it has, or waits a moment for
    /// more and then says <see cref="SourceState.Idle"/>.
    /// </summary>
    /// <param name="batch">The batch to fill.</param>
    /// <param name="cancellation">Ends the waiting of a live source. One that is cancelled already gives what is there, and does not wait.</param>
    /// <exception cref="SourceException">The source failed in a way that gives no further frames.</exception>
    SourceState Read(FrameBatch batch, CancellationToken cancellation);

    /// <summary>Where reading stands, for another source of the same recording to begin there; null where this one cannot say.</summary>
    SourcePlace? Place() => null;

    /// <summary>Begins at a place instead of at the beginning. Only before the first <see cref="Read"/>.</summary>
    /// <param name="place">What another source of the same recording, opened in the same way, said.</param>
    /// <exception cref="SourceException">This is not the recording of that place, or says no places.</exception>
    void BeginAt(SourcePlace place) => throw new SourceException($"{Name}: can be read from its beginning only, unlike before");
}

/// <summary>What a source had to give.</summary>
public enum SourceState
{
    /// <summary>At least one frame is in the batch.</summary>
    Frames,

    /// <summary>Nothing at the moment; ask again.</summary>
    Idle,

    /// <summary>No frame will come any more.</summary>
    Ended,
}
