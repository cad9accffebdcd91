using BusScope.Frames;
using BusScope.Transport.Pcapng;

namespace BusScope.Transport.Recording;

/// <summary>
/// The files of one recording: what is written when, when it reaches the disk, when the next file begins and the oldest makes
/// room, and when the disk is too full to go on. Used by one thread at a time; reads no clock but the given one.
/// </summary>
internal sealed class RecordingWriter : IDisposable
{
    /// <summary>A killed program loses no more than this.</summary>
    public static readonly TimeSpan FlushEvery = TimeSpan.FromMilliseconds(250);

    /// <summary>A power failure costs this and the time that the disk takes, together less than a second.</summary>
    public static readonly TimeSpan SyncEvery = TimeSpan.FromMilliseconds(750);

    // How often the disk is asked for its room: by time, and before it could have been filled in between.
    private static readonly TimeSpan AskEvery = TimeSpan.FromSeconds(1);
    private const long AskBytes = 16_000_000;

    // An upper bound of what a frame, or the end of a file, takes.
    private const int FrameBytes = 128;
    private const int EndBytes = 128;

    private readonly RecordingOptions options;
    private readonly IDiskSpace disk;
    private readonly TimeProvider time;
    private readonly string folder;
    private readonly long? largestFile;
    private readonly Queue<(string Path, long Length)> earlier = new();
    private readonly List<long> lost = [];
    private IReadOnlyList<Bus> buses = [];
    private RecordingFile file;
    private PcapngWriter writer;
    private long[] lostBefore = [];
    private long earlierBytes;
    private long removedBytes;
    private long earlierFrames;
    private long began;
    private long flushed;
    private long synced;
    private long asked;
    private long askedAtBytes;

    /// <summary>Begins the recording with its first file.</summary>
    /// <exception cref="IOException">It cannot be written there, or there is too little room; the message names file and reason.</exception>
    public RecordingWriter(RecordingOptions options, IDiskSpace disk, TimeProvider time)
    {
        this.options = options;
        this.disk = disk;
        this.time = time;
        folder = RecordingNames.Folder(options);

        // Half of all that is kept at most, so that what came before the latest file is never lost with the next one.
        largestFile = options.Keep is { } keep ? Math.Min(options.RotateSize ?? long.MaxValue, keep / 2) : options.RotateSize;
        Path = options.Path;
        if (Directory.Exists(folder))
        {
            DemandRoom();
        }

        (file, writer) = Begin();
    }

    /// <summary>The file that is being written.</summary>
    public string Path { get; private set; }

    /// <summary>Files begun.</summary>
    public int Files { get; private set; }

    /// <summary>Files that made room.</summary>
    public int Removed { get; private set; }

    /// <summary>Frames written, in all files.</summary>
    public long Frames => earlierFrames + writer.Frames;

    /// <summary>Bytes written, in all files, removed ones included.</summary>
    public long Bytes => removedBytes + earlierBytes + file.Length;

    /// <summary>Frames that the source lost.</summary>
    public long Lost => lost.Sum();

    /// <summary>Names buses that have had no frame yet.</summary>
    public void Meet(IReadOnlyList<Bus> known)
    {
        if (known.Count > buses.Count)
        {
            buses = known;
            writer.AddBuses(known);
        }
    }

    /// <summary>Writes a batch.</summary>
    /// <exception cref="IOException">The recording cannot go on; what was written can be read.</exception>
    public void Write(FrameBatch batch)
    {
        if (largestFile is { } most && writer.Frames > 0 && file.Length + Size(batch) > most)
        {
            Rotate();
        }

        writer.Write(batch, buses);
        if (Bytes - askedAtBytes > AskBytes)
        {
            DemandRoom();
        }
    }

    /// <summary>Says how many frames of a bus its source has lost so far.</summary>
    public void ReportLost(int bus, long total)
    {
        while (lost.Count <= bus)
        {
            lost.Add(0);
        }

        lost[bus] = Math.Max(lost[bus], total);
    }

    /// <summary>Writes a comment that belongs to no frame.</summary>
    public bool Remark(string text) => writer.Remark(text);

    /// <summary>Does what is due by now: hand over, bring onto the disk, begin the next file, look at the disk.</summary>
    /// <exception cref="IOException">The recording cannot go on; what was written can be read.</exception>
    public void Tick()
    {
        var now = time.GetTimestamp();
        if (options.RotateTime is { } most && writer.Frames > 0 && time.GetElapsedTime(began, now) >= most)
        {
            Rotate();
        }

        if (time.GetElapsedTime(synced, now) >= SyncEvery)
        {
            WriteLost();
            file.Sync();
            (synced, flushed) = (now, now);
        }
        else if (time.GetElapsedTime(flushed, now) >= FlushEvery)
        {
            file.Flush();
            flushed = now;
        }

        if (time.GetElapsedTime(asked, now) >= AskEvery)
        {
            DemandRoom();
        }
    }

    /// <summary>Writes the statistics and brings everything onto the disk.</summary>
    /// <exception cref="IOException">That failed; what was written before can be read.</exception>
    public void Complete()
    {
        WriteLost();
        writer.Complete();
    }

    /// <inheritdoc/>
    public void Dispose() => writer.Dispose();

    private (RecordingFile File, PcapngWriter Writer) Begin()
    {
        Files++;
        var before = Path;
        Path = RecordingNames.Of(options, Files, time.GetUtcNow());
        var next = new RecordingFile(Path, options.Overwrite);
        try
        {
            var comments = Files == 1 ? options.Comments : [.. options.Comments, $"part {Files} of a recording; the part before it is {System.IO.Path.GetFileName(before)}"];
            var first = new PcapngWriter(next, new PcapngWriterOptions { Comments = comments });
            first.AddBuses(buses);
            next.Flush();
            lostBefore = [.. lost];
            began = flushed = synced = time.GetTimestamp();
            return (next, first);
        }
        catch
        {
            next.Dispose();
            throw;
        }
    }

    private void Rotate()
    {
        Complete();
        var (frames, length) = (writer.Frames, file.Length);
        earlier.Enqueue((Path, length));
        earlierBytes += length;
        writer.Dispose();
        MakeRoom();
        try
        {
            (file, writer) = Begin();
            earlierFrames += frames;
        }
        catch (IOException)
        {
            // The file that was completed last is still the one that the figures are of.
            earlierBytes -= length;
            throw;
        }
    }

    // Only files that this recording itself has written.
    private void MakeRoom()
    {
        while (options.Keep is { } keep && earlierBytes + (largestFile ?? 0) > keep && earlier.TryDequeue(out var oldest))
        {
            earlierBytes -= oldest.Length;
            removedBytes += oldest.Length;
            Removed++;
            try
            {
                File.Delete(oldest.Path);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                // Somebody keeps it: it is theirs now.
            }
        }
    }

    private void WriteLost()
    {
        for (var i = 0; i < Math.Min(lost.Count, buses.Count); i++)
        {
            writer.ReportLost(i, lost[i] - (i < lostBefore.Length ? lostBefore[i] : 0));
        }
    }

    private void DemandRoom()
    {
        asked = time.GetTimestamp();
        askedAtBytes = file is null ? 0 : Bytes;
        if (disk.Free(folder) is { } free && free < options.LeaveFree)
        {
            throw new IOException($"{Path}: {(file is null ? "cannot be written" : "recording ended")}: the disk has {Megabytes(free)} MB left, and {Megabytes(options.LeaveFree)} MB are to be left free");
        }
    }

    private static string Megabytes(long bytes) => (bytes / 1e6).ToString("0.#", System.Globalization.CultureInfo.InvariantCulture);

    private int Size(FrameBatch batch)
    {
        var size = (batch.Count * FrameBytes) + (buses.Count * EndBytes);
        foreach (var note in batch.Notes)
        {
            size += (note.Text.Length * 3) + 8;
        }

        return size;
    }
}
