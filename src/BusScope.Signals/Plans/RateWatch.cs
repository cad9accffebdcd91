using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Watches how fast a signal changes. Each reading is held against the one before it, so that a single spike makes two
/// implausible readings (up and down) and a step makes one. Readings that are not ok are passed over.
/// </summary>
public struct RateWatch
{
    private double value;
    private long time;
    private bool isSet;

    /// <summary>The same sample, or an implausible one where it changed faster than the definition allows.</summary>
    /// <param name="sample">The next reading, in order of time; readings at the same time or earlier are not judged.</param>
    /// <param name="at">When.</param>
    /// <param name="largestRate">The fastest plausible change in physical units a second, or null.</param>
    public Sample Judge(in Sample sample, FrameTime at, double? largestRate)
    {
        if (largestRate is not { } largest || sample.Quality != SampleQuality.Ok)
        {
            return sample;
        }

        var isTooFast = isSet && at.Nanoseconds > time
            && Math.Abs(sample.Value - value) > largest * ((at.Nanoseconds - time) / (double)FrameSpan.NanosecondsPerSecond);
        (value, time, isSet) = (sample.Value, at.Nanoseconds, true);
        return isTooFast ? sample with { Quality = SampleQuality.Implausible } : sample;
    }
}
