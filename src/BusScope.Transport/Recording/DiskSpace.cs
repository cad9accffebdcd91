namespace BusScope.Transport.Recording;

/// <summary>How much room a disk has.</summary>
public interface IDiskSpace
{
    /// <summary>Bytes that this user may still write to the disk of a folder; null where nobody knows.</summary>
    /// <param name="folder">A folder that exists.</param>
    long? Free(string folder);
}

/// <summary>The disks of this machine.</summary>
public sealed class DiskSpace : IDiskSpace
{
    /// <inheritdoc/>
    public long? Free(string folder)
    {
        try
        {
            return new DriveInfo(folder).AvailableFreeSpace;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            // A network folder that tells nothing: the disk is then found full when it is.
            return null;
        }
    }
}
