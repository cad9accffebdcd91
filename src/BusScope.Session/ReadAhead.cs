using System.Runtime.ExceptionServices;
using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// A recording that a thread of its own reads, some batches ahead of the one who takes them: while one batch is worked through, the next ones
/// are read and parsed. With each batch comes what was known of the buses when it was read, so that whoever takes the batches concludes the
/// same as from the source itself. The source belongs to the thread until <see cref="Take"/> has said that it ended, or has thrown.
/// See docs/decisions/0703-read-ahead.md.
/// </summary>
internal sealed class ReadAhead : IDisposable
{
    /// <summary>How many batches may wait: 2.6 MB. With few of them the two threads would sleep and wake all the time.</summary>
    public const int Depth = 128;

    // Who had to wait goes on when this many are there, or gone: waking somebody costs as much as many frames.
    private const int Half = Depth / 2;

    private readonly IFrameSource source;
    private readonly CancellationToken cancellation;
    private readonly Parcel[] parcels = new Parcel[Depth];
    private readonly Thread thread;
    private readonly object gate = new();

    // Under the gate: how many were read and how many taken, since the beginning.
    private long read;
    private long taken;
    private bool isOver;
    private bool isGivenUp;

    /// <summary>Begins to read.</summary>
    /// <param name="source">The recording, of which nothing was read yet; not disposed here.</param>
    /// <param name="cancellation">Ends the reading; what was read until then is still to be taken.</param>
    public ReadAhead(IFrameSource source, CancellationToken cancellation)
    {
        (this.source, this.cancellation) = (source, cancellation);
        thread = new Thread(ReadOn) { Name = "reading ahead", IsBackground = true };
        thread.Start();
    }

    /// <summary>The buses that were known when the batch taken last had been read.</summary>
    public IReadOnlyList<Bus> Buses { get; private set; } = [];

    /// <summary>How far the source had come with that batch, 0 to 1, or null where its end is not known.</summary>
    public double? Progress { get; private set; }

    /// <summary>Takes the next batch, and waits for it if need be. Who takes them is one thread.</summary>
    /// <param name="batch">Is emptied and filled.</param>
    /// <returns>What the source said when the batch was read.</returns>
    /// <exception cref="SourceException">The source failed; all that it gave before was taken.</exception>
    /// <exception cref="OperationCanceledException">Reading was ended from outside; all that was read before was taken.</exception>
    public SourceState Take(FrameBatch batch)
    {
        ArgumentNullException.ThrowIfNull(batch);
        lock (gate)
        {
            if (read == taken)
            {
                while (read - taken < Half && !isOver)
                {
                    Monitor.Wait(gate);
                }
            }
        }

        ref var parcel = ref parcels[taken % Depth];
        batch.Exchange(parcel.Batch!);
        (Buses, Progress) = (parcel.Buses, parcel.Progress);
        var (state, failure) = (parcel.State, parcel.Failure);
        lock (gate)
        {
            taken++;
            if (read - taken == Half)
            {
                Monitor.Pulse(gate);
            }
        }

        failure?.Throw();
        return state;
    }

    /// <summary>Reads nothing more. Returns when the thread has let go of the source.</summary>
    public void Dispose()
    {
        lock (gate)
        {
            isGivenUp = true;
            Monitor.Pulse(gate);
        }

        thread.Join();
    }

    private void ReadOn()
    {
        var number = 1L;
        IReadOnlyList<Bus> buses = [];
        while (HasRoom())
        {
            ref var parcel = ref parcels[read % Depth];
            parcel.Batch ??= new FrameBatch();
            parcel.Batch.Begin(number);
            parcel.Failure = null;
            try
            {
                cancellation.ThrowIfCancellationRequested();
                parcel.State = source.Read(parcel.Batch, cancellation);
            }
            catch (Exception e)
            {
                // Whatever it is, it is told to the one who takes the batches, at its place among them.
                parcel.Failure = ExceptionDispatchInfo.Capture(e);
            }

            number = parcel.Batch.FirstNumber + parcel.Batch.Count;
            parcel.Buses = buses = Known(buses);
            parcel.Progress = source.Progress;
            Give(isLast: parcel.Failure is not null || parcel.State == SourceState.Ended);
        }
    }

    private bool HasRoom()
    {
        lock (gate)
        {
            if (read - taken == Depth)
            {
                while (read - taken > Half && !isGivenUp)
                {
                    Monitor.Wait(gate);
                }
            }

            return !isOver && !isGivenUp;
        }
    }

    private void Give(bool isLast)
    {
        lock (gate)
        {
            read++;
            isOver = isLast;
            if (read - taken == Half || isLast)
            {
                Monitor.Pulse(gate);
            }
        }
    }

    // The source's own list goes on while this one is being looked at; a new one is made only where a bus came or changed.
    private IReadOnlyList<Bus> Known(IReadOnlyList<Bus> before)
    {
        var now = source.Buses;
        var isSame = now.Count == before.Count;
        for (var i = 0; isSame && i < before.Count; i++)
        {
            isSame = ReferenceEquals(now[i], before[i]);
        }

        return isSame ? before : [.. now];
    }

    /// <summary>One batch with all that was known when it had been read.</summary>
    private struct Parcel
    {
        public FrameBatch? Batch;
        public IReadOnlyList<Bus> Buses;
        public double? Progress;
        public SourceState State;
        public ExceptionDispatchInfo? Failure;
    }
}
