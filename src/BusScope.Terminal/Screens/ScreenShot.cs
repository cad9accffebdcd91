using System.Globalization;
using System.Text;

namespace BusScope.Terminal.Screens;

/// <summary>What stands on the screen, as a file of its own.</summary>
internal static class ScreenShot
{
    // So many in one second are a key that hangs.
    private const int MostInOneSecond = 9;

    /// <summary>A sheet as lines of text.</summary>
    public static string TextOf(Drawing.Sheet sheet)
    {
        var text = new StringBuilder();
        for (var row = 0; row < sheet.Height; row++)
        {
            _ = text.Append(sheet.Characters(row).TrimEnd()).Append('\n');
        }

        return text.ToString();
    }

    /// <summary>Writes a new file; none that is there is touched.</summary>
    /// <param name="folder">Where.</param>
    /// <param name="now">The time of the room, for its name.</param>
    /// <param name="kind">The ending of its name: <c>txt</c>, <c>svg</c>.</param>
    /// <param name="content">What is written.</param>
    /// <returns>The name of the file, or what stood against it.</returns>
    public static (string? Name, string? Failure) Write(string folder, DateTimeOffset now, string kind, string content)
    {
        for (var number = 1; number <= MostInOneSecond; number++)
        {
            var name = string.Create(CultureInfo.InvariantCulture, $"busscope-screen-{now:yyyyMMdd-HHmmss}{(number == 1 ? "" : $"-{number}")}.{kind}");
            var path = Path.Combine(folder, name);
            try
            {
                using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write);
                using var writer = new StreamWriter(file, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
                writer.Write(content);
                return (name, null);
            }
            catch (IOException) when (File.Exists(path))
            {
                // Another of the same second: the next number.
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return (null, e.Message);
            }
        }

        return (null, "one at a time, please");
    }
}
