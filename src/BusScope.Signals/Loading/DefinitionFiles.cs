using System.Security;
using System.Text;
using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading;

/// <summary>Finds and reads the files that a person named: bounded, strictly UTF-8, each fault with the path it is about.</summary>
internal static class DefinitionFiles
{
    /// <summary>The largest definition file in bytes.</summary>
    public const long LargestFile = 16 << 20;

    private static readonly string[] endings = [".yaml", ".yml"];
    private static readonly UTF8Encoding strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>The texts of all files; folders give their definition files by name. A file named twice is read once.</summary>
    public static IReadOnlyList<SourceText> Read(IReadOnlyList<string> paths, FaultList faults)
    {
        var read = new HashSet<string>(StringComparer.Ordinal);
        var texts = new List<SourceText>();
        foreach (var file in paths.SelectMany(path => FilesOf(path, faults)))
        {
            if (read.Add(Path.GetFullPath(file)) && ReadFile(file, faults) is { } text)
            {
                texts.Add(text);
            }
        }

        return texts;
    }

    private static List<string> FilesOf(string path, FaultList faults)
    {
        var place = new TextPlace(path, 1, 1);
        if (path.Length == 0 || path.Contains('\0', StringComparison.Ordinal) || (!File.Exists(path) && !Directory.Exists(path)))
        {
            faults.Add(Faults.FileMissing, place, $"there is no file or folder {FaultList.Quote(path)}");
            return [];
        }

        if (!Directory.Exists(path))
        {
            return [path];
        }

        try
        {
            var files = Directory.EnumerateFiles(path).Where(file => endings.Contains(Path.GetExtension(file), StringComparer.OrdinalIgnoreCase)).Order(StringComparer.Ordinal).ToList();
            if (files.Count == 0)
            {
                faults.Add(Faults.FolderEmpty, place, $"the folder {FaultList.Quote(path)} has no *.yaml or *.yml file");
            }

            return files;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or SecurityException)
        {
            faults.Add(Faults.FileUnreadable, place, $"the folder {FaultList.Quote(path)} cannot be read: {CleanText.Clean(fault.Message)}");
            return [];
        }
    }

    private static SourceText? ReadFile(string file, FaultList faults)
    {
        var place = new TextPlace(file, 1, 1);
        byte[] bytes;
        try
        {
            using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            bytes = ReadBounded(stream);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException)
        {
            faults.Add(Faults.FileUnreadable, place, $"the file cannot be read: {CleanText.Clean(fault.Message)}");
            return null;
        }

        if (bytes.Length > LargestFile)
        {
            faults.Add(Faults.FileTooLarge, place, $"the file has more than {LargestFile >> 20} MB, the most that a definition file may have", "is it a capture? Definition files go to '--defs'");
            return null;
        }

        try
        {
            return new SourceText(file, strict.GetString(bytes).TrimStart('\uFEFF'));
        }
        catch (DecoderFallbackException fault)
        {
            var before = bytes.AsSpan(0, Math.Clamp(fault.Index, 0, bytes.Length));
            var line = before.Count((byte)'\n') + 1;
            var column = before.Length - (before.LastIndexOf((byte)'\n') + 1) + 1;
            faults.Add(Faults.NotUtf8, new TextPlace(file, line, column), $"the file is not UTF-8 text: byte {fault.Index} cannot stand there", "save it as UTF-8");
            return null;
        }
    }

    // The length that the file system tells may be 0 for a pipe or grow meanwhile, so the bound is held while reading.
    private static byte[] ReadBounded(Stream stream)
    {
        using var kept = new MemoryStream();
        var buffer = new byte[64 << 10];
        int count;
        while (kept.Length <= LargestFile && (count = stream.Read(buffer)) > 0)
        {
            kept.Write(buffer, 0, count);
        }

        return kept.ToArray();
    }
}
