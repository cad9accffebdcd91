using BusScope.Frames;

namespace BusScope.Transport.Kernel;

/// <summary>
/// Brings an adapter's own stamps to the system's clock. They are steadier than the kernel's, for a USB adapter hands over frames in
/// bundles; but they count from wherever the adapter began. The frame that was handed over fastest tells how far apart the clocks
/// are; the search for it begins anew every few seconds, because clocks drift.
/// </summary>
internal sealed class HardwareStamps
{
    // Two clocks drift apart by a millisecond at most in this time.
    private static readonly FrameSpan Window = FrameSpan.FromSeconds(10);

    private FrameSpan least = new(long.MaxValue);
    private FrameSpan leastBefore = new(long.MaxValue);
    private FrameTime windowFrom = FrameTime.Never;
    private FrameTime given = FrameTime.Never;

    /// <summary>The time of a frame by the system's clock, never later than when the kernel took it in.</summary>
    /// <param name="software">When the kernel took it in.</param>
    /// <param name="hardware">When the adapter did, by its own clock; never where it has none.</param>
    public FrameTime Map(FrameTime software, FrameTime hardware)
    {
        if (!hardware.IsKnown || !software.IsKnown)
        {
            return software;
        }

        var apart = software - hardware;
        if (!windowFrom.IsKnown || software - windowFrom > Window || software < windowFrom)
        {
            // One of the clocks was set when they are suddenly much further apart or nearer.
            var isSet = !windowFrom.IsKnown || Math.Abs(apart.Nanoseconds - least.Nanoseconds) > Window.Nanoseconds;
            leastBefore = isSet ? new FrameSpan(long.MaxValue) : least;
            least = apart;
            windowFrom = software;
        }

        least = apart < least ? apart : least;
        var mapped = hardware + (least < leastBefore ? least : leastBefore);

        // A faster frame sets the clocks right, but none comes before the one that was given already, unless a clock was set back.
        given = mapped < given && given <= software ? given : mapped;
        return given;
    }
}
