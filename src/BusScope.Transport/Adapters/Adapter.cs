namespace BusScope.Transport.Adapters;

/// <summary>Something that can be listened to here, or could be if what is wrong with it were mended.</summary>
/// <param name="Source">What to type to open it: <c>can0</c>.</param>
/// <param name="Kind">What it is, for a person.</param>
public sealed record Adapter(string Source, string Kind)
{
    /// <summary>Whether it can be opened as it is.</summary>
    public bool IsReady { get; init; }

    /// <summary>Bits per second, or null where none is set or none is needed.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the data phase, or null.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>Whether it only listens; null where that has no meaning or is not told.</summary>
    public bool? IsListenOnly { get; init; }

    /// <summary>How it stands, in a few words.</summary>
    public string State { get; init; } = "";

    /// <summary>What is wrong, and what each means; empty where nothing is.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>What to type to mend it, line by line; empty where nothing is to be done.</summary>
    public IReadOnlyList<string> Commands { get; init; } = [];
}
