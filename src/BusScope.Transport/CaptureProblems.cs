using BusScope.Frames.Diagnostics;

namespace BusScope.Transport;

/// <summary>What can be wrong with a capture. Each code is explained in docs/captures.md.</summary>
public static class CaptureProblems
{
    /// <summary>The file ends inside a block or record.</summary>
    public static ProblemKind CutShort { get; } = new("capture-cut-short", "the file ends in the middle of a record");

    /// <summary>A length or mark that cannot be right: nothing behind it can be found.</summary>
    public static ProblemKind Damaged { get; } = new("capture-damaged", "the file is damaged here and cannot be read further");

    /// <summary>The compressed data end before their end mark.</summary>
    public static ProblemKind CompressionCutShort { get; } = new("compressed-cut-short", "the compressed data end too early");

    /// <summary>The compressed data cannot be decompressed further.</summary>
    public static ProblemKind CompressionDamaged { get; } = new("compressed-damaged", "the compressed data are damaged here and cannot be read further");

    /// <summary>Something follows the end of the compressed data.</summary>
    public static ProblemKind CompressionFollowed { get; } = new("compressed-followed", "bytes behind the end of the compressed data are not read");

    /// <summary>A block of a type that is not known.</summary>
    public static ProblemKind UnknownBlock { get; } = new("block-unknown", "a block of an unknown type is skipped");

    /// <summary>A block whose content does not fit into it.</summary>
    public static ProblemKind BadBlock { get; } = new("block-malformed", "the content of a block does not fit into it; the block is skipped") { SkipsFrames = true };

    /// <summary>A block too large to hold a frame.</summary>
    public static ProblemKind LargeBlock { get; } = new("block-too-large", "a block larger than any frame needs is skipped") { SkipsFrames = true };

    /// <summary>An interface that is no CAN bus.</summary>
    public static ProblemKind OtherInterface { get; } = new("interface-other", "an interface that is not a CAN bus is not read");

    /// <summary>More buses than can be kept.</summary>
    public static ProblemKind TooManyBuses { get; } = new("buses-too-many", "an interface beyond the largest number of buses is not read") { SkipsFrames = true };

    /// <summary>A packet that is no CAN frame.</summary>
    public static ProblemKind OtherPacket { get; } = new("packet-other", "a packet that is not a CAN frame is skipped");

    /// <summary>A packet of an interface that the file does not describe.</summary>
    public static ProblemKind UnknownInterface { get; } = new("packet-of-unknown-interface", "a packet of an interface that is not described is skipped") { SkipsFrames = true };

    /// <summary>A CAN XL frame.</summary>
    public static ProblemKind CanXl { get; } = new("can-xl", "a CAN XL frame is not decoded") { SkipsFrames = true };

    /// <summary>A frame of which not all bytes were recorded.</summary>
    public static ProblemKind CutFrame { get; } = new("frame-cut-short", "a frame of which not all bytes were recorded is skipped") { SkipsFrames = true };

    /// <summary>A length that no frame can have.</summary>
    public static ProblemKind BadLength { get; } = new("frame-length-impossible", "a frame states a length that no frame can have");

    /// <summary>Marks that exclude each other or have no meaning.</summary>
    public static ProblemKind BadFlags { get; } = new("frame-flags-impossible", "a frame states marks that cannot stand together");

    /// <summary>A packet block without a time.</summary>
    public static ProblemKind NoTime { get; } = new("frame-without-time", "a frame was recorded without a time and gets that of the one before");

    /// <summary>A time outside the range that can be held.</summary>
    public static ProblemKind TimeOutOfRange { get; } = new("time-out-of-range", "a time outside the years 1677 to 2262 is held at the end of that range");

    /// <summary>A fraction of a second that is a second or more.</summary>
    public static ProblemKind BadFraction { get; } = new("time-fraction-too-large", "the fraction of a second of a time is a second or more");

    /// <summary>More bytes than the file's own limit for a packet.</summary>
    public static ProblemKind OverSnapLength { get; } = new("packet-over-limit", "a packet is longer than the file's own limit");

    /// <summary>Frames that the recorder lost.</summary>
    public static ProblemKind Dropped { get; } = new("recorder-dropped", "the recorder says that it lost frames");

    /// <summary>Identifiers in the wrong byte order.</summary>
    public static ProblemKind IdentifiersSwapped { get; } = new("identifiers-swapped", "the bytes of the identifiers stand the wrong way round");

    /// <summary>Comments past the room for them.</summary>
    public static ProblemKind CommentsLeftOut { get; } = new("comments-left-out", "more comments than are kept");

    /// <summary>Every kind that a binary capture can have.</summary>
    public static IReadOnlyList<ProblemKind> All { get; } =
    [
        CutShort, Damaged, CompressionCutShort, CompressionDamaged, CompressionFollowed, UnknownBlock, BadBlock, LargeBlock,
        OtherInterface, TooManyBuses, OtherPacket, UnknownInterface, CanXl, CutFrame, BadLength, BadFlags, NoTime, TimeOutOfRange,
        BadFraction, OverSnapLength, Dropped, IdentifiersSwapped, CommentsLeftOut,
    ];
}
