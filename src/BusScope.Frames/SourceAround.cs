using BusScope.Frames.Diagnostics;

namespace BusScope.Frames;

/// <summary>
/// A source around another one. What a derived source does not change itself is the inner one's, so that no member can be forgotten.
/// Used by one thread at a time, as every source.
/// </summary>
/// <param name="inner">The source; disposed with this one.</param>
public abstract class SourceAround(IFrameSource inner) : IFrameSource
{
    /// <inheritdoc/>
    public virtual string Name => inner.Name;

    /// <inheritdoc/>
    public virtual IReadOnlyList<Bus> Buses => inner.Buses;

    /// <inheritdoc/>
    public virtual ProblemLog Problems => inner.Problems;

    /// <inheritdoc/>
    public virtual IReadOnlyList<string> Comments => inner.Comments;

    /// <inheritdoc/>
    public virtual double? Progress => inner.Progress;

    /// <inheritdoc/>
    public virtual SourceClock Clock => inner.Clock;

    /// <summary>The source that this one is around.</summary>
    protected IFrameSource Inner => inner;

    /// <inheritdoc/>
    public virtual ControllerStatus? StatusOf(int bus) => inner.StatusOf(bus);

    /// <inheritdoc/>
    public virtual ControllerState? StateOf(int bus) => inner.StateOf(bus);

    /// <inheritdoc/>
    public virtual SourceState Read(FrameBatch batch, CancellationToken cancellation) => inner.Read(batch, cancellation);

    /// <inheritdoc/>
    public virtual SourcePlace? Place() => inner.Place();

    /// <inheritdoc/>
    public virtual void BeginAt(SourcePlace place) => inner.BeginAt(place);

    /// <inheritdoc/>
    public virtual void Dispose()
    {
        inner.Dispose();
        GC.SuppressFinalize(this);
    }
}
