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
            if (SettingsReader.Read(text, path).Faults is [var fault, ..])
            {
                return ReasonFirst(fault);
            }

            if (!SettingsText.IsInLines(text))
            {
                return $"it is not written as lines of 'key: value', and is left as it is ({path})";
            }

            text = SettingsText.With(text, SettingsReader.Units, memory.IsUs ? "us" : "metric");
            text = SettingsText.With(text, SettingsReader.Watch, memory.Watched);
            text = SettingsText.With(text, SettingsReader.Trace, memory.Traced);
            Write(text);
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return $"{e.Message} ({path})";
        }
    }

    /// <summary>A fault of the file for a place where the end of a long sentence may be out of sight: the reason, then where it stands.</summary>
    public string ReasonFirst(string fault)
    {
        var rest = fault.StartsWith($"{path}:", StringComparison.Ordinal) ? fault[path.Length..] : "";
        var reason = rest.IndexOf(": ", StringComparison.Ordinal);
        return reason < 0 ? fault : $"{rest[(reason + 2)..]} ({path}{rest[..reason]})";
    }

    private string Text()
    {
        if (!File.Exists(path))
        {
            return "";
        }

        return new FileInfo(path).Length <= LargestFile ? File.ReadAllText(path) : throw new IOException($"more than {LargestFile} bytes are no settings");
    }

    // Whole or not at all: a file beside it takes its place.
    private void Write(string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        var partial = $"{path}.{Environment.ProcessId}.new";
        File.WriteAllText(partial, text);
        File.Move(partial, path, overwrite: true);
    }
}
