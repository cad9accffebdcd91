using BusScope.Frames;

namespace BusScope.Demo.Tests;

/// <summary>A story read to its end, once for all tests.</summary>
internal sealed class Recording
{
    private static readonly Dictionary<string, Lazy<Recording>> all =
        DemoStories.All.ToDictionary(s => s.Name, s => new Lazy<Recording>(() => new Recording(DemoSource.Open(s.Name))));

    private Recording(DemoSource source)
    {
        Frames = Read(source);
        Buses = source.Buses;
    }

    public IReadOnlyList<Frame> Frames { get; }

    public IReadOnlyList<Bus> Buses { get; }

    public static Recording Of(string story) => all[story].Value;

    public static List<Frame> Read(IFrameSource source)
    {
        var frames = new List<Frame>();
        var batch = new FrameBatch();
        while (source.Read(batch, CancellationToken.None) != SourceState.Ended)
        {
            frames.AddRange(batch.Frames);
        }

        return frames;
    }

    public IEnumerable<Frame> On(string bus) => Frames.Where(f => Buses[f.Bus].Name == bus);

    public static double At(in Frame frame) => (frame.Time - DemoSource.Start).Seconds;
}
