using System.Buffers.Binary;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Transport.Input;

/// <summary>
/// Which file a path leads to, by whatever name, symbolic or hard link: two paths with the same identity are one file.
/// </summary>
/// <param name="Volume">The device or volume that it is on.</param>
/// <param name="Number">Its number there: the inode, or the file index.</param>
public readonly partial record struct FileIdentity(ulong Volume, ulong Number)
{
    // statx(2): relative paths from the working directory, or no path but an open file; the inode wanted, and where it and the device stand in the answer.
    private const int WorkingDirectory = -100;
    private const int EmptyPath = 0x1000;
    private const uint InodeWanted = 0x100;
    private const int InodeAt = 0x20;
    private const int DeviceAt = 0x88;
    private const int AnswerLength = 0x100;

    // BY_HANDLE_FILE_INFORMATION (fileapi.h).
    private const int VolumeAt = 28;
    private const int IndexHighAt = 44;
    private const int IndexLowAt = 48;
    private const int InformationLength = 52;

    /// <summary>The identity of a file that is there; null where there is none, or where the system does not tell.</summary>
    public static FileIdentity? Of(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        try
        {
            return OperatingSystem.IsLinux() ? OnLinux(WorkingDirectory, path, 0) : OperatingSystem.IsWindows() ? OnWindows(path) : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or EntryPointNotFoundException or DllNotFoundException)
        {
            return null;
        }
    }

    /// <summary>The identity of an open file, whatever its path leads to by now; null where the system does not tell.</summary>
    public static FileIdentity? Of(SafeFileHandle file)
    {
        ArgumentNullException.ThrowIfNull(file);
        try
        {
            return OperatingSystem.IsLinux() ? OnLinux((int)file.DangerousGetHandle(), "", EmptyPath) : OperatingSystem.IsWindows() ? OnWindows(file) : null;
        }
        catch (Exception e) when (e is EntryPointNotFoundException or DllNotFoundException)
        {
            return null;
        }
    }

    private static FileIdentity? OnLinux(int folder, string path, int flags)
    {
        Span<byte> answer = stackalloc byte[AnswerLength];
        return Ask(folder, path, flags, InodeWanted, answer) == 0
            ? new FileIdentity(BinaryPrimitives.ReadUInt64LittleEndian(answer[DeviceAt..]), BinaryPrimitives.ReadUInt64LittleEndian(answer[InodeAt..]))
            : null;
    }

    private static FileIdentity? OnWindows(string path)
    {
        using var file = File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        return OnWindows(file);
    }

    private static FileIdentity? OnWindows(SafeFileHandle file)
    {
        Span<byte> answer = stackalloc byte[InformationLength];
        return Ask(file, answer)
            ? new FileIdentity(
                BinaryPrimitives.ReadUInt32LittleEndian(answer[VolumeAt..]),
                ((ulong)BinaryPrimitives.ReadUInt32LittleEndian(answer[IndexHighAt..]) << 32) | BinaryPrimitives.ReadUInt32LittleEndian(answer[IndexLowAt..]))
            : null;
    }

    [LibraryImport("libc", EntryPoint = "statx", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Ask(int folder, string path, int flags, uint wanted, Span<byte> answer);

    [LibraryImport("kernel32", EntryPoint = "GetFileInformationByHandle")]
    [return: MarshalAs(UnmanagedType.Bool)]
    private static partial bool Ask(SafeFileHandle file, Span<byte> answer);
}
