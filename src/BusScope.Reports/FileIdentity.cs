using System.Security.Cryptography;

namespace BusScope.Reports;

/// <summary>By what a file can be known again, whatever it is called by then.</summary>
/// <param name="Role">What it was to the check: <c>capture</c>, <c>definitions</c>.</param>
/// <param name="Name">As a person named it.</param>
public sealed record FileIdentity(string Role, string Name)
{
    /// <summary>Bytes, or null where they were not kept (a stream, an adapter).</summary>
    public long? Length { get; init; }

    /// <summary>When it was changed last, or null.</summary>
    public DateTimeOffset? Changed { get; init; }

    /// <summary>SHA-256 of its bytes (FIPS 180-4) in lower-case hex, or null.</summary>
    public string? Sha256 { get; init; }

    /// <summary>Why it has no hash, or null.</summary>
    public string? Remark { get; init; }

    /// <summary>The identity of a file on disk; where it cannot be read any more, the remark says why.</summary>
    public static FileIdentity OfFile(string role, string path)
    {
        try
        {
            var file = new FileInfo(path);
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, bufferSize: 1 << 20, FileOptions.SequentialScan);
            return new FileIdentity(role, path)
            {
                Length = stream.Length,
                Changed = new DateTimeOffset(file.LastWriteTimeUtc, TimeSpan.Zero),
                Sha256 = Convert.ToHexStringLower(SHA256.HashData(stream)),
            };
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return new FileIdentity(role, path) { Remark = $"cannot be read again: {e.Message}" };
        }
    }

    /// <summary>The identity of bytes in memory.</summary>
    public static FileIdentity OfBytes(string role, string name, ReadOnlySpan<byte> bytes) =>
        new(role, name) { Length = bytes.Length, Sha256 = Convert.ToHexStringLower(SHA256.HashData(bytes)) };
}
