using BusScope.Frames;

namespace BusScope.Health.Tests.Session.Replay;

/// <summary>A source that fails once, after so many frames; asked again it has ended.</summary>
internal sealed class FailingSource(IFrameSource inner, int frames) : SourceAround(inner)
{
    public const string Why = "list: reading failed";

    private readonly FrameBatch read = new();
    private int given;
    private int next;
    private bool hasFailed;

    public override SourcePlace? Place() => null;

    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        batch.Clear();
        if (given == frames)
        {
            var state = hasFailed ? SourceState.Ended : throw Fail();
            return state;
        }

        while (!batch.IsFull && given < frames)
        {
            if (next == read.Count)
            {
                Inner.Read(read, cancellation);
                next = 0;
            }

            batch.Add() = read.Frames[next++];
            given++;
        }

        return SourceState.Frames;
    }

    private SourceException Fail()
    {
        hasFailed = true;
        return new SourceException(Why);
    }
}
