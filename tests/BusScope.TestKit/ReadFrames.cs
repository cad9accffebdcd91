using System.Globalization;
using BusScope.Frames;

namespace BusScope.TestKit;

/// <summary>What a source gave from its beginning to its end, comparable as text.</summary>
/// <param name="Frames">The frames.</param>
/// <param name="Notes">Comments on frames, with the frame's number.</param>
public sealed record ReadFrames(IReadOnlyList<Frame> Frames, IReadOnlyList<string> Notes)
{
    /// <summary>Reads a source to its end.</summary>
    public static ReadFrames From(IFrameSource source, CancellationToken cancellation)
    {
        var (batch, frames, notes) = (new FrameBatch(), new List<Frame>(), new List<string>());
        while (source.Read(batch, cancellation) != SourceState.Ended)
        {
            frames.AddRange(batch.Frames);
            notes.AddRange(batch.Notes.Select(note => $"{batch.FirstNumber + note.Index}: {note.Text}"));
        }

        return new ReadFrames(frames, notes);
    }

    /// <summary>Every frame on a line with everything it has.</summary>
    public IReadOnlyList<string> Lines => [.. Frames.Select(frame => Line(frame))];

    /// <summary>Everything that a frame has.</summary>
    public static string Line(Frame frame) => string.Create(
        CultureInfo.InvariantCulture,
        $"{frame.Time.Nanoseconds} bus {frame.Bus} {frame.Id} [{frame.Length}] {frame.Kinds} {frame.Direction} raw {frame.RawLengthCode} {Convert.ToHexString(frame.Data)}");
}
