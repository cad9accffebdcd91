using System.Globalization;

namespace BusScope.Transport.Recording;

/// <summary>
/// The names of the files of one recording: the given one; or, where files take turns, the given one with a number, which keeps
/// their order whatever the clock does, and the time at which the file began, in UTC: <c>drive-0002-20260314T092653Z.pcapng</c>.
/// </summary>
internal static class RecordingNames
{
    /// <summary>The path of a file.</summary>
    /// <param name="options">The recording.</param>
    /// <param name="number">The file, counted from 1.</param>
    /// <param name="began">When it begins.</param>
    public static string Of(RecordingOptions options, int number, DateTimeOffset began)
    {
        if (!options.TakesTurns)
        {
            return options.Path;
        }

        var folder = Path.GetDirectoryName(options.Path) ?? "";
        var stem = Path.GetFileNameWithoutExtension(options.Path);
        var name = string.Create(CultureInfo.InvariantCulture, $"{stem}-{number:D4}-{began.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}{Path.GetExtension(options.Path)}");
        return Path.Combine(folder, name);
    }

    /// <summary>The folder that the files are in.</summary>
    public static string Folder(RecordingOptions options) => Path.GetDirectoryName(Path.GetFullPath(options.Path)) ?? Path.GetFullPath(options.Path);
}
