using BusScope.Transport.Tables;

namespace BusScope.Transport;

/// <summary>How a capture is to be read, where the file itself does not say.</summary>
public sealed record CaptureOptions
{
    /// <summary>What a file needs that says everything itself.</summary>
    public static CaptureOptions Default { get; } = new();

    /// <summary>
    /// Whether the four bytes of each identifier stand the other way round than the link type demands. Such a file is recognised
    /// and reported (<c>identifiers-swapped</c>), but read so only on request.
    /// </summary>
    public bool IdentifiersSwapped { get; init; }

    /// <summary>What the user says about a text table; null where its header speaks for itself.</summary>
    public TextTableProfile? Table { get; init; }
}
