using BusScope.Frames;

namespace BusScope.Demo;

/// <summary>A piece of a story as a file.</summary>
/// <param name="FileName">Its name in the folder captures; the ending names the compression.</param>
/// <param name="Story">Of which story.</param>
/// <param name="From">Where it begins, seconds into the story.</param>
/// <param name="To">Where it ends.</param>
public sealed record DemoCapture(string FileName, string Story, double From, double To)
{
    /// <summary>Its frames.</summary>
    public IFrameSource Open() => DemoSource.Open(Story, new DemoOptions { From = From, To = To });
}

/// <summary>The files of the folder captures: a few seconds of each story, small enough to be kept beside the code.</summary>
public static class DemoCaptures
{
    /// <summary>In the order of the stories.</summary>
    public static IReadOnlyList<DemoCapture> All { get; } =
    [
        // A bend with indicator and brake; long enough for every message to have come a few times.
        new("healthy.pcapng.gz", "healthy", 20, 32),
        new("swapped.pcapng.gz", "swapped", 20, 32),
        new("good-start.pcapng.gz", "good-start", 0, 4.5),
        new("no-start-key.pcapng.gz", "no-start-key", 0, 4.5),
        new("no-start-sensor.pcapng.gz", "no-start-sensor", 0, 4.5),
        new("no-start-battery.pcapng.gz", "no-start-battery", 0, 5.5),
        new("no-start-request.pcapng.gz", "no-start-request", 0, 4.5),
        // From full revs on the brake to the end of third gear, an eighth of a mile.
        new("launch.pcapng.gz", "launch", 4.8, 14.8),
        new("unacknowledged.pcapng.gz", "unacknowledged", 0, 1.5),
        new("j1939.pcapng.gz", "j1939", 28, 40),
        new("obd.pcapng.gz", "obd", 28, 40),
    ];
}
