using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>The period that a designer would have chosen for what was measured: clocks are off by parts in ten thousand, schedulers by a little more.</summary>
public static class DesignPeriod
{
    private const double LargestError = 0.04;

    // Common practice of the trade: 1-2-2.5-5 decades and multiples of 8 and 16 ms, as in cyclic schedulers. No single source.
    private static readonly double[] Milliseconds =
    [
        1, 2, 2.5, 4, 5, 8, 10, 12, 12.5, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 60, 64, 75, 80, 100, 120, 125, 128, 150, 160, 200, 240, 250, 256, 300, 320,
        400, 480, 500, 512, 600, 640, 750, 800, 1000, 1200, 1250, 1280, 1500, 1600, 2000, 2500, 3000, 4000, 5000, 6000, 8000, 10000, 15000, 20000, 30000, 60000,
    ];

    /// <summary>The nearest usual period within 4 %, else the measured one with two significant digits.</summary>
    public static FrameSpan Round(FrameSpan measured)
    {
        var value = measured.Milliseconds;
        var nearest = Milliseconds.MinBy(usual => Math.Abs(Math.Log(usual / value)));
        if (Math.Abs((nearest / value) - 1) <= LargestError)
        {
            return FrameSpan.FromMilliseconds(nearest);
        }

        var unit = Math.Pow(10, Math.Floor(Math.Log10(value)) - 1);
        return FrameSpan.FromMilliseconds(Math.Round(value / unit) * unit);
    }
}
