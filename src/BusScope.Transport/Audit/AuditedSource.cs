using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Audit;

/// <summary>
/// Looks at every frame of a source once, and counts in the source's own problems what no frame can be and what no clock does.
/// Nothing is masked, changed or dropped. Allocates nothing for a clean frame. Used by one thread at a time.
/// </summary>
/// <param name="inner">The source; disposed with this.</param>
/// <param name="areFramesChecked">Whether the source itself counts impossible identifiers, lengths and flags, which are then not looked for again.</param>
public sealed class AuditedSource(IFrameSource inner, bool areFramesChecked = false) : SourceAround(inner), ICaptureSource
{
    private ClockAudit clock = new(inner.Problems, inner.Clock != SourceClock.Recorded);
    private bool isOver;

    /// <inheritdoc/>
    public string Format => (Inner as ICaptureSource)?.Format ?? "";

    /// <inheritdoc/>
    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        SourceState state;
        try
        {
            state = Inner.Read(batch, cancellation);
        }
        catch (SourceException)
        {
            End();
            throw;
        }

        var frames = batch.Frames;
        var buses = Inner.Buses;
        for (var i = clock.Pass(frames); i < frames.Length; i++)
        {
            clock.Next(frames[i], batch, i, buses);
        }

        for (var i = 0; i < frames.Length && !areFramesChecked; i++)
        {
            ref readonly var frame = ref frames[i];
            if (!(frame.Id.Fits && FrameChecks.IsLength(frame) && FrameChecks.AreFlags(frame)))
            {
                Count(frame, batch, i);
            }
        }

        if (state == SourceState.Ended)
        {
            End();
        }

        return state;
    }

    /// <inheritdoc/>
    public override SourcePlace? Place() => Inner.Place() is { } place ? new AuditedPlace(place, clock.For(new ProblemLog()), isOver) : null;

    /// <inheritdoc/>
    public override void BeginAt(SourcePlace place)
    {
        var begin = (AuditedPlace)place;
        Inner.BeginAt(begin.Inner);
        clock = begin.Clock.For(Inner.Problems);
        isOver = begin.IsOver;
    }

    private void End()
    {
        if (!isOver)
        {
            isOver = true;
            clock.End();
        }
    }

    private void Count(in Frame frame, FrameBatch batch, int index)
    {
        var bus = frame.Bus < Inner.Buses.Count ? Inner.Buses[frame.Bus].Name : null;
        var place = new ProblemPlace(batch.FirstNumber + index, Bus: bus);

        // The identifier of an error report is a set of error classes, wider than 11 bits.
        if (!frame.Id.Fits && !frame.IsErrorReport)
        {
            Problems.Add(AuditProblems.IdTooLarge, place, Problems.IsNew(AuditProblems.IdTooLarge) ? $"0x{frame.Id.Value:X}" : null);
        }

        if (!FrameChecks.IsLength(frame))
        {
            Problems.Add(
                CaptureProblems.BadLength,
                place,
                Problems.IsNew(CaptureProblems.BadLength) ? $"{(frame.IsFlexibleDataRate ? "CAN FD" : "Classical CAN")}, length {frame.Length}" : null);
        }

        if (!FrameChecks.AreFlags(frame))
        {
            Problems.Add(CaptureProblems.BadFlags, place, Problems.IsNew(CaptureProblems.BadFlags) ? frame.Kinds.ToString() : null);
        }
    }

    private sealed record AuditedPlace(SourcePlace Inner, ClockAudit Clock, bool IsOver) : SourcePlace;
}
