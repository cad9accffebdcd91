using System.CommandLine;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Against;

namespace BusScope.Cli.Options;

/// <summary><c>--against</c>: an earlier result that the new one is compared with.</summary>
internal sealed class AgainstOption
{
    private readonly Option<string?> option = new("--against")
    {
        Description = "Say what changed since an earlier result, a file written by --format json",
        HelpName = "LAST",
    };

    /// <summary>Adds the option to a command.</summary>
    public void AddTo(Command command) => command.Options.Add(option);

    /// <summary>The file as named, or none.</summary>
    public IEnumerable<string> Files(ParseResult parsed) => parsed.GetValue(option) is { } path ? [path] : [];

    /// <summary>Reads the earlier result, or null where none was named.</summary>
    /// <exception cref="UsageException">It is not there, or no such result.</exception>
    public EarlierCheck? Read(ParseResult parsed)
    {
        if (parsed.GetValue(option) is not { } path)
        {
            return null;
        }

        if (Directory.Exists(path))
        {
            throw new UsageException($"{path}: is a folder, not an earlier result");
        }

        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            return EarlierCheckReader.Read(file, path);
        }
        catch (FormatException e)
        {
            throw new UsageException(e.Message);
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new UsageException($"{path}: does not exist");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new UsageException($"{path}: cannot be read: {CleanText.Clean(e.Message)}");
        }
    }
}
