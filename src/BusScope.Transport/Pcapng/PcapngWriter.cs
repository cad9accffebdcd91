using System.Buffers.Binary;
using System.Globalization;
using BusScope.Frames;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcapng;

/// <summary>What a written capture says of itself.</summary>
public sealed record PcapngWriterOptions
{
    /// <summary>Comments on the recording as a whole.</summary>
    public IReadOnlyList<string> Comments { get; init; } = [];
}

/// <summary>
/// Writes pcapng (draft-ietf-opsawg-pcapng) in one form: little-endian, nanoseconds, one interface of link type
/// LINKTYPE_CAN_SOCKETCAN for each bus, enhanced packet blocks, statistics at the end. Reading it back gives the same frames, buses
/// and comments. Used by one thread at a time.
/// </summary>
public sealed class PcapngWriter : IDisposable
{
    // Ticks are unsigned. Times before 1970 go into a section whose interfaces add this, the earliest second that can be held.
    private const long ShiftSeconds = -9_223_372_037;
    private static readonly Int128 Shift = (Int128)ShiftSeconds * FrameSpan.NanosecondsPerSecond;

    private readonly IPcapngTarget target;
    private readonly PcapngWriterOptions options;
    private readonly BlockBuilder block = new();
    private readonly List<Written> written = [];
    private bool isShifted;
    private bool isComplete;

    /// <summary>Writes to a target, which is disposed with the writer.</summary>
    internal PcapngWriter(IPcapngTarget target, PcapngWriterOptions options)
    {
        this.target = target;
        this.options = options;
        WriteSection();
    }

    /// <summary>Frames written so far.</summary>
    public long Frames { get; private set; }

    /// <summary>
    /// Begins a file. It is written under another name in the same folder and takes the given name, in place of what stood there, only
    /// when it is complete.
    /// </summary>
    /// <param name="path">The file to write.</param>
    /// <param name="options">What it says of itself, or null.</param>
    /// <exception cref="IOException">It cannot be written there; the message names the file and the reason.</exception>
    public static PcapngWriter Create(string path, PcapngWriterOptions? options = null) => new(new FileTarget(path), options ?? new PcapngWriterOptions());

    /// <summary>Writes to a stream, which stays open.</summary>
    /// <param name="stream">Where the bytes go.</param>
    /// <param name="options">What the capture says of itself, or null.</param>
    public static PcapngWriter Create(Stream stream, PcapngWriterOptions? options = null) => new(new StreamTarget(stream), options ?? new PcapngWriterOptions());

    /// <summary>Writes a batch.</summary>
    /// <param name="batch">The frames and their comments.</param>
    /// <param name="buses">The buses that the frames' indexes mean; a list that only grows.</param>
    /// <exception cref="IOException">The file cannot be written further, as on a full disk.</exception>
    public void Write(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        ArgumentNullException.ThrowIfNull(buses);
        AddBuses(buses);
        var frames = batch.Frames;
        var (notes, nextNote) = (batch.Notes, 0);
        for (var i = 0; i < frames.Length; i++)
        {
            ref readonly var frame = ref frames[i];
            var firstNote = nextNote;
            while (nextNote < notes.Count && notes[nextNote].Index <= i)
            {
                nextNote++;
            }

            WriteFrame(in frame, notes, firstNote, nextNote);
        }

        Frames += frames.Length;
    }

    /// <summary>Names buses that have had no frame yet, so that a silent bus is in the file too.</summary>
    /// <param name="buses">The buses of the source; a list that only grows.</param>
    /// <exception cref="IOException">The file cannot be written further.</exception>
    public void AddBuses(IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(buses);
        for (var i = written.Count; i < buses.Count; i++)
        {
            written.Add(new Written(buses[i]));
            WriteInterface(buses[i]);
        }
    }

    /// <summary>
    /// Says how many frames of a bus the source has lost since this capture began. It stands in the capture from then on, also when
    /// writing is broken off.
    /// </summary>
    /// <param name="bus">The index of a bus that was written or named before.</param>
    /// <param name="lost">Frames lost so far; nothing is written where they are as many as said before.</param>
    /// <exception cref="IOException">The file cannot be written further.</exception>
    public void ReportLost(int bus, long lost)
    {
        var subject = written[bus];
        if (lost > subject.Lost)
        {
            subject.Lost = lost;
            block.Begin(BlockType.InterfaceStatistics).U32((uint)bus).Ticks(subject.Section.Last);
            target.Write(block.Option(OptionCode.StatisticsDropped, subject.LostInSection).EndOptions().Finish());
        }
    }

    /// <summary>
    /// Writes a comment that belongs to no frame, as one on the statistics of the first bus. Without a bus it is not written.
    /// </summary>
    /// <param name="text">The comment.</param>
    /// <returns>Whether it was written.</returns>
    /// <exception cref="IOException">The file cannot be written further.</exception>
    public bool Remark(string text)
    {
        if (written.Count == 0)
        {
            return false;
        }

        var (_, last, count) = written[0].Section;
        block.Begin(BlockType.InterfaceStatistics).U32(0).Ticks(last).Option(OptionCode.Comment, text);
        target.Write(block.Option(OptionCode.StatisticsReceived, (ulong)count).EndOptions().Finish());
        return true;
    }

    /// <summary>Writes the statistics and gives the file its name.</summary>
    /// <exception cref="IOException">The file cannot be completed; nothing stands under its name that was not there before.</exception>
    public void Complete()
    {
        if (!isComplete)
        {
            WriteStatistics();
            target.Complete();
            isComplete = true;
        }
    }

    /// <summary>Ends writing; a file that was not completed is removed.</summary>
    public void Dispose() => target.Dispose();

    // Section 4.1.
    private void WriteSection()
    {
        block.Begin(BlockType.SectionHeader).U32(PcapngFormat.ByteOrderMark).U16(1).U16(0).U64(ulong.MaxValue);
        foreach (var comment in options.Comments)
        {
            block.Option(OptionCode.Comment, comment);
        }

        target.Write(block.Option(OptionCode.SectionApplication, "BusScope").EndOptions().Finish());
    }

    // Section 4.2.
    private void WriteInterface(Bus bus)
    {
        block.Begin(BlockType.Interface).U16((ushort)LinkType.Can).U16(0).U32(0).Option(OptionCode.InterfaceName, bus.Name);
        if (bus.Description is { } description)
        {
            block.Option(OptionCode.InterfaceDescription, description);
        }

        if (bus.BitRate is { } rate)
        {
            block.Option(OptionCode.InterfaceSpeed, (ulong)rate);
        }

        block.Option(OptionCode.InterfaceTimeResolution, PcapngFormat.Nanoseconds);
        if (isShifted)
        {
            block.Option(OptionCode.InterfaceTimeOffset, unchecked((ulong)ShiftSeconds));
        }

        if (bus.DataBitRate is { } dataRate)
        {
            block.Option(OptionCode.Comment, string.Create(CultureInfo.InvariantCulture, $"{PcapngFormat.DataRateBefore}{dataRate}{PcapngFormat.DataRateAfter}"));
        }

        foreach (var comment in bus.Comments)
        {
            block.Option(OptionCode.Comment, comment);
        }

        target.Write(block.EndOptions().Finish());
    }

    // Section 4.3.
    private void WriteFrame(in Frame frame, IReadOnlyList<FrameNote> notes, int firstNote, int endNote)
    {
        var ticks = Ticks(frame.Time);
        var length = RecordLength(in frame);
        block.Begin(BlockType.EnhancedPacket).U32(frame.Bus).Ticks(ticks).U32((uint)length).U32((uint)length);
        WriteRecord(in frame, block.Padded(length));
        if (frame.Direction != Direction.Unknown)
        {
            block.Option(OptionCode.PacketFlags, (uint)frame.Direction);
        }

        for (var i = firstNote; i < endNote; i++)
        {
            block.Option(OptionCode.Comment, notes[i].Text);
        }

        if (frame.Direction != Direction.Unknown || firstNote < endNote)
        {
            block.EndOptions();
        }

        target.Write(block.Finish());
        written[frame.Bus].Saw(ticks);
    }

    // A Classical CAN frame has no more than eight bytes; one that a faulty source says has more is written so that it is not
    // taken for CAN FD, whose records are told by their length.
    private static int RecordLength(in Frame frame) =>
        frame.IsFlexibleDataRate ? RecordLayout.FlexibleLength
        : frame.Length <= Payload.ClassicCapacity ? RecordLayout.ClassicLength
        : RecordLayout.HeaderLength + frame.Length is var length && length != RecordLayout.FlexibleLength ? length : RecordLayout.FlexibleLength + Payload.ClassicCapacity;

    private static void WriteRecord(in Frame frame, Span<byte> record)
    {
        var word = frame.Id.Value
            | (frame.Id.IsExtended ? RecordLayout.ExtendedBit : 0)
            | (frame.IsRemote ? RecordLayout.RemoteBit : 0)
            | (frame.IsErrorReport ? RecordLayout.ErrorBit : 0);
        BinaryPrimitives.WriteUInt32BigEndian(record, word);
        record[RecordLayout.LengthAt] = frame.Length;
        record[RecordLayout.FlagsAt] = (byte)((int)frame.Kinds & RecordLayout.FlexibleFlags);
        record[RecordLayout.RawCodeAt] = frame.RawLengthCode;
        frame.Data.CopyTo(record[RecordLayout.HeaderLength..]);
    }

    // A time that the section's interfaces cannot express begins a new section, in which the buses are described once more.
    private ulong Ticks(FrameTime time)
    {
        if (isShifted ? time.Nanoseconds - Shift > ulong.MaxValue : time.Nanoseconds < 0)
        {
            WriteStatistics();
            isShifted = !isShifted;
            WriteSection();
            foreach (var bus in written)
            {
                WriteInterface(bus.Bus);
            }
        }

        return isShifted ? (ulong)(time.Nanoseconds - Shift) : (ulong)time.Nanoseconds;
    }

    // Section 4.6.
    private void WriteStatistics()
    {
        for (var i = 0; i < written.Count; i++)
        {
            var (first, last, count) = written[i].Section;
            block.Begin(BlockType.InterfaceStatistics).U32((uint)i).Ticks(last);
            if (count > 0)
            {
                block.U16(OptionCode.StatisticsStart).U16(sizeof(ulong)).Ticks(first);
                block.U16(OptionCode.StatisticsEnd).U16(sizeof(ulong)).Ticks(last);
            }

            block.Option(OptionCode.StatisticsReceived, (ulong)count);
            if (written[i].LostInSection > 0)
            {
                block.Option(OptionCode.StatisticsDropped, written[i].LostInSection);
            }

            target.Write(block.EndOptions().Finish());
            written[i].EndSection();
        }
    }

    /// <summary>A bus that is in the file, and what its section holds of it.</summary>
    private sealed class Written(Bus bus)
    {
        private long lostBefore;

        public Bus Bus => bus;

        public (ulong First, ulong Last, long Count) Section { get; set; }

        /// <summary>Frames lost since the capture began.</summary>
        public long Lost { get; set; }

        /// <summary>Frames lost since the section began: a section's figures are its own.</summary>
        public ulong LostInSection => (ulong)(Lost - lostBefore);

        public void EndSection() => (Section, lostBefore) = (default, Lost);

        public void Saw(ulong ticks) => Section = (Section.Count == 0 ? ticks : Section.First, ticks, Section.Count + 1);
    }
}
