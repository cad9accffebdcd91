using System.Runtime.ExceptionServices;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Queue;

namespace BusScope.Transport.Streams;

/// <summary>
/// A capture that arrives: from a pipe, or over a remote shell. A thread of its own reads and decodes it as it comes, because
/// reading a pipe cannot be broken off; whoever takes the frames never waits longer than a moment. A stream that brings nothing is
/// idle, as a silent bus is. The bytes are held back no longer than their frames need,
/// and a few milliseconds where they come frame by frame.
/// </summary>
public sealed class StreamSource : ICaptureSource
{
    // A third of a second of four buses at full load; a faster stream waits in the pipe.
    private const int QueueLength = 16_384;

    // A stream that is of no known kind, or empty, says so within this time; one that brings nothing yet is waited for later.
    private static readonly TimeSpan OpeningPatience = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Patience = TimeSpan.FromMilliseconds(50);

    // Nobody sees a few milliseconds.
    private static readonly TimeSpan Gathering = TimeSpan.FromMilliseconds(4);

    private readonly Stream stream;
    private readonly CaptureOptions? options;
    private readonly TimeSpan gathering;
    private readonly FrameQueue queue = new(QueueLength);
    private readonly CancellationTokenSource stop = new();
    private readonly ManualResetEventSlim opened = new();
    private volatile Facts facts = new("", [], [], new ProblemLog());
    private volatile ExceptionDispatchInfo? failure;
    private bool hasEnded;

    /// <summary>Begins to read; waits a moment for the first bytes, to tell what is no capture at once.</summary>
    /// <param name="stream">The bytes; disposed by the reading thread when it ends.</param>
    /// <param name="name">What a person calls it.</param>
    /// <param name="options">How to read it, or null.</param>
    /// <exception cref="SourceException">The stream is empty, fails, or is of no known kind.</exception>
    public StreamSource(Stream stream, string name, CaptureOptions? options = null)
        : this(stream, name, options, Gathering)
    {
    }

    /// <summary>Begins to read; lets so much time pass after a read that brought little.</summary>
    internal StreamSource(Stream stream, string name, CaptureOptions? options, TimeSpan gathering)
    {
        ArgumentNullException.ThrowIfNull(stream);
        this.stream = stream;
        this.options = options;
        this.gathering = gathering;
        Name = name;
        new Thread(ReadStream) { Name = "stream", IsBackground = true }.Start();
        _ = opened.Wait(OpeningPatience);
        failure?.Throw();
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public string Format => facts.Format;

    /// <inheritdoc/>
    public IReadOnlyList<string> Comments => facts.Comments;

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => queue.Buses;

    /// <summary>What was wrong with what has arrived so far, some of which may not have been read yet.</summary>
    public ProblemLog Problems => facts.Problems;

    /// <inheritdoc/>
    public double? Progress => hasEnded ? 1 : null;

    /// <summary>Frames come as they happen, by the clock of whoever sends the stream.</summary>
    public SourceClock Clock => SourceClock.Theirs;

    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => facts.Statuses is var statuses && bus < statuses.Count ? statuses[bus] : null;

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        var state = queue.Take(batch, Patience, cancellation);
        if (state == SourceState.Ended)
        {
            failure?.Throw();
            hasEnded = true;
        }

        return state;
    }

    /// <summary>Ends reading. A thread that waits for a pipe ends with the pipe, or with the program.</summary>
    public void Dispose()
    {
        stop.Cancel();
        queue.Abandon();
    }

    private void ReadStream()
    {
        try
        {
            using var capture = (ICaptureSource)CaptureFile.Open(new GatheringStream(stream, () => stop.Token.WaitHandle.WaitOne(gathering)), Name, options);
            Note(capture, isLast: false);
            opened.Set();
            Pass(capture);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Nobody listens any more.
        }
#pragma warning disable CA1031 // Whatever it is: it is thrown again on the thread that takes the frames.
        catch (Exception e)
#pragma warning restore CA1031
        {
            failure = ExceptionDispatchInfo.Capture(e);
        }

        queue.Complete();
        opened.Set();
    }

    private void Pass(ICaptureSource capture)
    {
        var batch = new FrameBatch();
        try
        {
            while (!stop.IsCancellationRequested && capture.Read(batch, stop.Token) != SourceState.Ended)
            {
                Note(capture, isLast: false);
                _ = queue.Add(batch, capture.Buses, stop.Token);
            }
        }
        finally
        {
            // Buses that had no frame.
            Note(capture, isLast: true);
            batch.Clear();
            _ = queue.Add(batch, capture.Buses, stop.Token);
        }
    }

    // What is told beside the frames is copied whenever there is more of it: the capture goes on while others look.
    private void Note(ICaptureSource capture, bool isLast)
    {
        var told = facts;
        if (isLast || capture.Format != told.Format || capture.Comments.Count != told.Comments.Count || capture.Problems.Total != told.Problems.Total)
        {
            var problems = new ProblemLog();
            foreach (var problem in capture.Problems.All)
            {
                problems.Add(problem.Kind, problem.First, problem.Detail, problem.Count);
            }

            facts = new Facts(capture.Format, [.. capture.Comments], [.. Enumerable.Range(0, capture.Buses.Count).Select(capture.StatusOf)], problems);
        }
    }

    /// <summary>What was known of the capture at one moment. Immutable.</summary>
    private sealed record Facts(string Format, IReadOnlyList<string> Comments, IReadOnlyList<ControllerStatus?> Statuses, ProblemLog Problems);
}
