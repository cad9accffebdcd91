using System.Text.RegularExpressions;
using System.Xml.Linq;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Architecture;

/// <summary>docs/architecture.md says which project may reference which; the project files must agree.</summary>
public partial class ProjectTableTests
{
    private static readonly string[] Projects =
        [.. Directory.GetFiles(RepoFiles.Path("src"), "*.csproj", SearchOption.AllDirectories).Order(StringComparer.Ordinal)];

    [Fact]
    public void Every_project_stands_in_the_table_and_no_other() =>
        Assert.Equal(Projects.Select(path => Path.GetFileNameWithoutExtension(path)), Table().Keys.Order(StringComparer.Ordinal));

    [Fact]
    public void No_project_references_one_that_the_table_does_not_allow()
    {
        var table = Table();

        var broken =
            from path in Projects
            let name = Path.GetFileNameWithoutExtension(path)
            from reference in XDocument.Load(path).Descendants("ProjectReference")
            let target = Path.GetFileNameWithoutExtension(reference.Attribute("Include")!.Value)
            where !table[name].References.Contains(target)
            select $"{name} → {target}";

        Assert.Empty(broken);
    }

    [Fact]
    public void No_project_uses_a_package_that_the_table_does_not_name()
    {
        var table = Table();

        var broken =
            from path in Projects
            let name = Path.GetFileNameWithoutExtension(path)
            from reference in XDocument.Load(path).Descendants("PackageReference")
            let package = reference.Attribute("Include")!.Value
            where !table[name].Packages.Contains(package)
            select $"{name} → {package}";

        Assert.Empty(broken);
    }

    // | `BusScope.Transport` | what it holds | Frames | ZstdSharp.Port |
    private static Dictionary<string, (HashSet<string> References, HashSet<string> Packages)> Table()
    {
        var rows = File.ReadLines(RepoFiles.Path("docs", "architecture.md"))
            .Select(line => Row().Match(line))
            .Where(match => match.Success)
            .ToList();
        return rows.ToDictionary(
            row => row.Groups["name"].Value,
            row => (Words(row.Groups["references"].Value).Select(word => "BusScope." + word).ToHashSet(), Words(row.Groups["packages"].Value).ToHashSet()));
    }

    private static string[] Words(string cell) =>
        cell is "none" ? [] : cell.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);

    [GeneratedRegex(@"^\| `(?<name>BusScope\.\w+)` \|[^|]*\| (?<references>[^|]*) \| (?<packages>[^|]*) \|$")]
    private static partial Regex Row();
}
