using System.Text;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;

namespace BusScope.Transport.Tables;

/// <summary>The frames of a text table. Every good row is delivered; every bad one is counted by kind with its line.</summary>
internal sealed class TextTableSource(
    Stream stream, string name, LineReader lines, RowSplitter splitter, RowDecoder decoder, BusNames buses, ProblemLog problems, string? comment) : ICaptureSource
{
    private const int LongestQuote = 80;

    private readonly Cells cells = new();
    private readonly Stream file = stream is PrefixedStream recognised ? recognised.Rest : stream;
    private readonly byte[] commentStart = Encoding.UTF8.GetBytes(comment ?? "");
    private SourceException? failure;

    /// <inheritdoc/>
    public string Name => name;

    /// <inheritdoc/>
    public string Format => TextTable.Format;

    /// <inheritdoc/>
    public IReadOnlyList<string> Comments => [];

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => buses.All;

    /// <inheritdoc/>
    public ProblemLog Problems => problems;

    /// <inheritdoc/>
    public double? Progress => file.CanSeek && file.Length > 0 ? Math.Max(0, file.Position - lines.Ahead.Length) / (double)file.Length : null;

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        if (failure is not null)
        {
            throw failure;
        }

        try
        {
            while (!batch.IsFull && lines.TryRead(out var row, out var isTooLong))
            {
                if (row.IsEmpty && !isTooLong)
                {
                    continue;
                }

                // A binary file behind a good header has few line ends: do not walk a gigabyte of it deaf.
                cancellation.ThrowIfCancellationRequested();
                var fault = isTooLong ? TableProblems.RowTooLong : ReadRow(row, batch);
                if (fault is not null)
                {
                    Count(fault, row);
                }
            }
        }
        catch (IOException e)
        {
            // What was readable is delivered first.
            failure = new SourceException($"{name}: cannot be read on after line {lines.Number}: {e.Message}", e);
            if (batch.Count == 0)
            {
                throw failure;
            }
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Ended;
    }

    /// <inheritdoc/>
    public void Dispose() => stream.Dispose();

    private ProblemKind? ReadRow(ReadOnlySpan<byte> row, FrameBatch batch)
    {
        if ((commentStart.Length > 0 && row.StartsWith(commentStart)) || (row[0] == ' ' && row.Trim((byte)' ').IsEmpty))
        {
            return null;
        }

        return splitter.Split(row, cells) ?? decoder.Decode(cells.TextOf(row), cells, batch);
    }

    private void Count(ProblemKind kind, ReadOnlySpan<byte> row)
    {
        var detail = problems.IsNew(kind) && !row.IsEmpty ? CleanText.Clean(Encoding.UTF8.GetString(row[..Math.Min(row.Length, LongestQuote)])) : null;
        problems.Add(kind, new ProblemPlace(Line: lines.Number), detail);
    }
}
