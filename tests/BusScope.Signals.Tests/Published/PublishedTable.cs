using BusScope.TestKit;

namespace BusScope.Signals.Tests.Published;

/// <summary>A table of published figures beside this file: a header, then rows, no quoting.</summary>
internal static class PublishedTable
{
    public static IEnumerable<string[]> Rows(string name) =>
        File.ReadLines(RepoFiles.Path("tests", "BusScope.Signals.Tests", "Published", name)).Skip(1).Where(line => line.Length > 0).Select(line => line.Split(','));
}
