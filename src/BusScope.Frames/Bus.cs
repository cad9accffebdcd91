namespace BusScope.Frames;

/// <summary>One physical network, by name, as its source describes it.</summary>
/// <param name="Name">Unique within the source; never empty.</param>
public sealed record Bus(string Name)
{
    /// <summary>Bits per second of the arbitration phase, where the source knows it.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the CAN FD data phase, where the source knows it.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>The source's own description of the adapter.</summary>
    public string? Description { get; init; }

    /// <summary>Comments of the recording on this bus.</summary>
    public IReadOnlyList<string> Comments { get; init; } = [];
}
