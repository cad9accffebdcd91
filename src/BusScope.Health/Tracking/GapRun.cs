using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>Gaps of a message on end, a break between them or not.</summary>
/// <param name="Gaps">How many.</param>
/// <param name="Time">How long they lasted together, without the breaks.</param>
/// <param name="First">The frame before the first; meaningless while there are none.</param>
/// <param name="Last">The frame that ended the last; meaningless while there are none.</param>
internal readonly record struct GapRun(long Gaps, FrameSpan Time, FramePlace First, FramePlace Last)
{
    /// <summary>The mean gap; 0 while there are none.</summary>
    public FrameSpan Mean => new(Gaps == 0 ? 0 : Time.Nanoseconds / Gaps);

    /// <summary>The same gaps and one more.</summary>
    public GapRun With(FramePlace from, FramePlace until) => new(Gaps + 1, Time + (until.Time - from.Time), Gaps == 0 ? from : First, until);
}
