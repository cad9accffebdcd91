using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;
using BusScope.Transport.Records;

namespace BusScope.Transport;

/// <summary>
/// What the readers of binary captures share: fill the window, parse what is whole in it, hand out frames before any fault.
/// Used by one thread at a time.
/// </summary>
internal abstract class CaptureReader(ByteWindow window, string name, CaptureOptions options) : ICaptureSource
{
    private PacketDecoder? decoder;
    private SourceException? failure;
    private long skipping;

    /// <inheritdoc/>
    public string Name => name;

    /// <inheritdoc/>
    public abstract string Format { get; }

    /// <inheritdoc/>
    public abstract IReadOnlyList<string> Comments { get; }

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => BusTable.All;

    /// <inheritdoc/>
    public ProblemLog Problems { get; } = new();

    /// <inheritdoc/>
    public double? Progress => IsOver ? 1 : window.Progress;

    /// <summary>What the recorder said of a bus: how many frames it lost, or null where it lost none.</summary>
    public ControllerStatus? StatusOf(int bus) =>
        BusTable.LostOf(bus) is var lost and > 0 ? new ControllerStatus(ControllerState.Unknown) { LostFrames = lost } : null;

    /// <summary>The buses met so far.</summary>
    protected BusTable BusTable { get; } = new();

    /// <summary>The bytes at hand.</summary>
    protected ByteWindow Window => window;

    /// <summary>Turns packets into frames.</summary>
    protected PacketDecoder Decoder => decoder ??= new PacketDecoder(Problems, options);

    /// <summary>Whether nothing more can be read.</summary>
    protected bool IsOver { get; private set; }

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        while (true)
        {
            if (!IsOver && Skipped())
            {
                Parse(batch);
            }

            if (batch.IsFull || (batch.Count > 0 && (IsOver || window.MayWait)))
            {
                return SourceState.Frames;
            }

            if (IsOver)
            {
                return failure is null ? SourceState.Ended : throw failure;
            }

            cancellation.ThrowIfCancellationRequested();
            Fill();
        }
    }

    /// <summary>Only of a file, between two of its blocks, and once the order of its identifiers was judged.</summary>
    /// <inheritdoc/>
    public SourcePlace? Place()
    {
        if (window.Opened is not { } file || IsSkipping || Decoder.Order.IsOpen || failure is not null)
        {
            return null;
        }

        var (buses, problems) = (new BusTable(), new ProblemLog());
        buses.TakeOver(BusTable);
        problems.Add(Problems);
        return Place(file, window.Offset, buses, problems);
    }

    /// <inheritdoc/>
    public void BeginAt(SourcePlace place)
    {
        var begin = (CapturePlace)place;
        window.MoveTo(begin.Offset, begin.File);
        BusTable.TakeOver(begin.Buses);
        Problems.Add(begin.Problems);
        Decoder.Order.Pass();
        IsOver = begin.IsOver;
        TakeOver(begin);
    }

    /// <inheritdoc/>
    public void Dispose() => window.Dispose();

    /// <summary>The place of a reader of this kind.</summary>
    /// <param name="file">The file.</param>
    /// <param name="offset">Of the next byte in the file.</param>
    /// <param name="buses">A copy of the buses.</param>
    /// <param name="problems">A copy of the problems.</param>
    /// <returns>Null where the file ended before it began.</returns>
    protected abstract CapturePlace? Place(OpenedFile file, long offset, BusTable buses, ProblemLog problems);

    /// <summary>Takes over what a reader of this kind knew at a place beside buses and problems.</summary>
    /// <exception cref="SourceException">It is a place of another kind: see <see cref="Other"/>.</exception>
    protected abstract void TakeOver(CapturePlace place);

    /// <summary>The same file, written anew as a capture of another kind.</summary>
    protected SourceException Other() => new($"{name}: is of another kind than when it was read before");

    /// <summary>Takes what is whole in the window, until the batch is full.</summary>
    protected abstract void Parse(FrameBatch batch);

    /// <summary>Passes over so many bytes, whether or not they are in the window yet.</summary>
    protected void Skip(long count)
    {
        skipping = count;
        _ = Skipped();
    }

    /// <summary>Whether bytes to be passed over are yet to come.</summary>
    protected bool IsSkipping => skipping > 0;

    /// <summary>Nothing behind this place can be read.</summary>
    protected void End(ProblemKind kind, string detail)
    {
        Problems.Add(kind, new ProblemPlace(ByteOffset: window.Offset), detail);
        Close();
    }

    /// <summary>Counts a fault; its place and detail are made only the first time.</summary>
    protected void Count(ProblemKind kind, FrameBatch batch, string detail, ulong figure)
    {
        var isNew = Problems.IsNew(kind);
        Problems.Add(kind, isNew ? Place(batch) : default, isNew ? $"{detail}{figure}" : null);
    }

    /// <summary>The place of the frame that would come next.</summary>
    protected ProblemPlace Place(FrameBatch batch, string? bus = null) => new(batch.FirstNumber + batch.Count, window.Offset, Bus: bus);

    private bool Skipped()
    {
        var count = (int)Math.Min(skipping, window.End - window.Start);
        window.Start += count;
        skipping -= count;
        return skipping == 0;
    }

    private void Fill()
    {
        try
        {
            if (window.Fill())
            {
                return;
            }
        }
        catch (SourceException e)
        {
            failure = e;
            Close();
            return;
        }

        var rest = window.End - window.Start;
        if ((rest > 0 || IsSkipping) && !window.EndedByFault)
        {
            Problems.Add(CaptureProblems.CutShort, new ProblemPlace(ByteOffset: window.Offset), $"{rest} bytes of a record are there");
        }

        Close();
    }

    private void Close()
    {
        IsOver = true;
        Decoder.Order.Close();
    }
}
