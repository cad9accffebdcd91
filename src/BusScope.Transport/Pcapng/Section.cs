using System.Buffers.Binary;
using System.Globalization;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcapng;

/// <summary>
/// One section of a pcapng file: its byte order and its interfaces (draft-ietf-opsawg-pcapng, sections 4.1 and 4.2). A new
/// section numbers its interfaces anew, while the buses live on by name.
/// </summary>
internal sealed class Section(bool isBigEndian, BusTable buses, ProblemLog problems, CommentStore comments)
{
    private const int LongestName = 200;

    private readonly List<Interface> interfaces = [];

    /// <summary>Whether the numbers of the section are big-endian.</summary>
    public bool IsBigEndian => isBigEndian;

    /// <summary>The interfaces by number, as the fast way wants them.</summary>
    public FastInterface[] Fast { get; private set; } = [];

    /// <summary>The time of the last frame, for blocks that have none.</summary>
    public FrameTime LastTime { get; set; }

    /// <summary>The same section for another reader, as far as it was read.</summary>
    public Section For(BusTable otherBuses, ProblemLog otherProblems, CommentStore otherComments)
    {
        var copy = new Section(isBigEndian, otherBuses, otherProblems, otherComments) { LastTime = LastTime, Fast = [.. Fast] };
        copy.interfaces.AddRange(interfaces.Select(each => each.For(otherBuses)));
        return copy;
    }

    /// <summary>A number of 16 bits in the order of the section.</summary>
    public ushort U16(ReadOnlySpan<byte> bytes) => isBigEndian ? BinaryPrimitives.ReadUInt16BigEndian(bytes) : BinaryPrimitives.ReadUInt16LittleEndian(bytes);

    /// <summary>A number of 32 bits in the order of the section.</summary>
    public uint U32(ReadOnlySpan<byte> bytes) => isBigEndian ? BinaryPrimitives.ReadUInt32BigEndian(bytes) : BinaryPrimitives.ReadUInt32LittleEndian(bytes);

    /// <summary>The interface of this number, or null.</summary>
    public Interface? Find(uint number) => number < (uint)interfaces.Count ? interfaces[(int)number] : null;

    /// <summary>Takes in an interface description block.</summary>
    /// <param name="body">The block without head and tail, at least 8 bytes.</param>
    /// <param name="offset">Where the block begins in the file.</param>
    /// <returns>False when an option reaches beyond the block; the interface is taken in all the same.</returns>
    public bool AddInterface(ReadOnlySpan<byte> body, long offset)
    {
        // Whatever has no room still takes its number, as long as numbers are kept at all.
        if (interfaces.Count == BusTable.Limit)
        {
            problems.Add(CaptureProblems.TooManyBuses, new ProblemPlace(ByteOffset: offset));
            return true;
        }

        var type = (LinkType)U16(body);
        var (resolution, seconds) = (PcapngFormat.DefaultResolution, 0L);
        var bus = new Bus("");
        var kept = new List<string>();
        var options = new OptionReader(body[8..], isBigEndian);
        while (options.Next())
        {
            switch (options.Code)
            {
                case OptionCode.Comment when DataRate(options.Text) is { } rate:
                    bus = bus with { DataBitRate = rate };
                    break;
                case OptionCode.Comment:
                    comments.Keep(kept, options.Text, offset);
                    break;
                case OptionCode.InterfaceName:
                    bus = bus with { Name = options.Text.Length > LongestName ? options.Text[..LongestName] : options.Text };
                    break;
                case OptionCode.InterfaceDescription:
                    bus = bus with { Description = options.Text };
                    break;
                case OptionCode.InterfaceSpeed when options.LongNumber is > 0 and <= long.MaxValue:
                    bus = bus with { BitRate = (long)options.LongNumber };
                    break;
                case OptionCode.InterfaceTimeResolution when options.Value.Length == 1:
                    resolution = options.Value[0];
                    break;
                case OptionCode.InterfaceTimeOffset when options.LongNumber is { } number:
                    seconds = (long)number;
                    break;
                default:
                    break;
            }
        }

        var isNamed = !string.IsNullOrWhiteSpace(bus.Name);
        bus = bus with { Name = FreeName(bus.Name, isNamed), Comments = kept };
        Add(new Interface(new Link(type, bus.Name, buses), U32(body[4..]), isNamed, new TimeScale(resolution, seconds)), bus, offset);
        return !options.IsMalformed;
    }

    private void Add(Interface added, Bus bus, long offset)
    {
        if (!added.Link.CanHoldFrames)
        {
            problems.Add(CaptureProblems.OtherInterface, new ProblemPlace(ByteOffset: offset), problems.IsNew(CaptureProblems.OtherInterface) ? $"link type {(ushort)added.Link.Type}" : null);
        }
        else if (added.Link.Type == LinkType.Can && !added.Link.Join(bus))
        {
            problems.Add(CaptureProblems.TooManyBuses, new ProblemPlace(ByteOffset: offset));
        }

        interfaces.Add(added);
        var fast = Fast;
        if (fast.Length < interfaces.Count)
        {
            Array.Resize(ref fast, Math.Max(8, 2 * fast.Length));
            Fast = fast;
        }

        var scale = added.Scale;
        // The fast way reads little-endian records of CAN interfaces only.
        fast[interfaces.Count - 1] = added.Link is { Type: LinkType.Can, Bus: >= 0 and var index } && !isBigEndian
            ? new FastInterface(scale.FastEnd, scale.FastFactor, scale.FastOffset, (ushort)index)
            : default;
    }

    /// <summary>Takes in an interface statistics block: what the recorder says that it lost.</summary>
    /// <param name="body">The block without head and tail, at least 12 bytes.</param>
    /// <param name="offset">Where the block begins in the file.</param>
    public bool AddStatistics(ReadOnlySpan<byte> body, long offset)
    {
        if (Find(U32(body)) is not { } subject)
        {
            return false;
        }

        var total = 0UL;
        var options = new OptionReader(body[12..], isBigEndian);
        while (options.Next())
        {
            if (options.Code == OptionCode.Comment)
            {
                comments.KeepOfSection(options.Text, offset);
            }

            total += options.Code is OptionCode.StatisticsDropped or OptionCode.StatisticsSystemDropped ? options.LongNumber ?? 0 : 0;
        }

        // The figures count from the beginning of the recording, and packet blocks may have told of some already.
        if (total > subject.Dropped)
        {
            ReportDropped(subject, total - subject.Dropped, new ProblemPlace(ByteOffset: offset, Bus: subject.Link.Name));
        }

        return !options.IsMalformed;
    }

    /// <summary>Counts frames that the recorder says it lost.</summary>
    public void ReportDropped(Interface subject, ulong count, ProblemPlace place)
    {
        subject.Dropped += count;
        var bounded = (long)Math.Min(count, int.MaxValue);
        problems.Add(CaptureProblems.Dropped, place, count: bounded);
        if (subject.Link.Bus >= 0)
        {
            buses.Lose(subject.Link.Bus, bounded);
        }
    }

    // An unnamed interface is called by its number; a name is shared within a section only by interfaces that were given it.
    private string FreeName(string given, bool isNamed)
    {
        var wanted = isNamed ? given : string.Create(CultureInfo.InvariantCulture, $"bus{interfaces.Count}");
        var name = wanted;
        for (var i = 2; interfaces.Exists(other => other.Link.Name == name && !(isNamed && other.IsNamed)); i++)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{wanted}-{i}");
        }

        return name;
    }

    private static long? DataRate(string comment) =>
        comment.StartsWith(PcapngFormat.DataRateBefore, StringComparison.Ordinal)
        && comment.EndsWith(PcapngFormat.DataRateAfter, StringComparison.Ordinal)
        && long.TryParse(comment.AsSpan()[PcapngFormat.DataRateBefore.Length..^PcapngFormat.DataRateAfter.Length], NumberStyles.None, CultureInfo.InvariantCulture, out var rate) ? rate : null;
}
