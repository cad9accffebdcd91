namespace BusScope.Transport.Input;

/// <summary>A file as it was when it was opened: what a place in it holds for.</summary>
/// <param name="Identity">Which file it is, or null where the system does not tell.</param>
/// <param name="Length">Its length, bytes.</param>
internal readonly record struct OpenedFile(FileIdentity? Identity, long Length)
{
    /// <summary>
    /// Why a place in this file does not hold for the same path opened later, or null where it does: it may have grown, but must be the same
    /// file and have all that it had.
    /// </summary>
    public string? Refuses(OpenedFile later) =>
        later.Identity != Identity ? "is not the file that was read before"
        : later.Length < Length ? $"has {later.Length} bytes, and had {Length} when it was read before"
        : null;
}
