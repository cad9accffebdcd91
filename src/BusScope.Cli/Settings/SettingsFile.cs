using BusScope.Terminal;

namespace BusScope.Cli.Settings;

/// <summary>The settings file of the user: read when a screen opens, written when something is to be remembered.</summary>
/// <param name="path">Where it is, or will be.</param>
internal sealed class SettingsFile(string path)
{
    private const long LargestFile = 1_000_000;

    /// <summary>The usual place: <c>busscope/settings.yaml</c> in the user's configuration folder (XDG_CONFIG_HOME or ~/.config; on Windows, AppData); null where the user has none.</summary>
    public static string? UsualPath =>
        Environment.GetFolderPath(Environment.SpecialFolder.ApplicationData, Environment.SpecialFolderOption.DoNotVerify) is { Length: > 0 } folder
            ? Path.Combine(folder, "busscope", "settings.yaml")
            : null;

    /// <summary>What it says; nothing where there is no such file.</summary>
    public ProgramSettings Read()
    {
        try
        {
            return SettingsReader.Read(Text(), path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return new ProgramSettings { Faults = [$"{path}: cannot be read: {e.Message}"] };
        }
    }

    /// <summary>Writes what is to be remembered into it.</summary>
    /// <returns>Why it could not, or null.</returns>
    public string? Remember(ScreenMemory memory)
    {
        try
        {
            var text = Text();
            var before = SettingsReader.Read(text, path);
            if (before.Faults is [var fault, ..])
            {
                return ReasonFirst(fault);
            }

            if (!SettingsText.IsInLines(text))
            {
                return LeftAsItIs;
            }

            var after = SettingsText.With(text, SettingsReader.Units, memory.IsUs ? "us" : "metric");
            after = SettingsText.With(after, SettingsReader.Watch, memory.Watched);
            after = SettingsText.With(after, SettingsReader.Trace, memory.Traced);

            // What was written is read before it takes the place of what a person wrote.
            var read = SettingsReader.Read(after, path);
            if (read.Faults.Count > 0 || (read.Refresh, read.Ascii) != (before.Refresh, before.Ascii) || !read.Watch.SequenceEqual(memory.Watched) || !read.Trace.SequenceEqual(memory.Traced))
            {
                return LeftAsItIs;
            }

            if (after != text)
            {
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                WholeFile.Write(path, after);
            }

            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return e.Message.StartsWith(path, StringComparison.Ordinal) ? ReasonFirst(e.Message) : $"{e.Message} ({path})";
        }
    }

    /// <summary>A fault of the file for a place where the end of a long sentence may be out of sight: the reason, then where it stands.</summary>
    public string ReasonFirst(string fault)
    {
        var rest = fault.StartsWith($"{path}:", StringComparison.Ordinal) ? fault[path.Length..] : "";
        var reason = rest.IndexOf(": ", StringComparison.Ordinal);
        return reason < 0 ? fault : $"{rest[(reason + 2)..]} ({path}{rest[..reason]})";
    }

    private string LeftAsItIs => $"it is not written as lines of 'key: value', and is left as it is ({path})";

    private string Text()
    {
        if (!File.Exists(path))
        {
            return "";
        }

        return new FileInfo(path).Length <= LargestFile ? File.ReadAllText(path) : throw new IOException($"more than {LargestFile} bytes are no settings");
    }
}
