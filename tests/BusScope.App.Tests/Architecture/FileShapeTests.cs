using System.Text.RegularExpressions;
using Xunit;

namespace BusScope.App.Tests.Architecture;

public partial class FileShapeTests
{
    private const int MostLines = 400;

    [Fact]
    public void No_file_is_longer_than_four_hundred_lines() =>
        Assert.Empty(SourceFiles.All.Where(path => File.ReadLines(path).Count() > MostLines).Select(SourceFiles.Short));

    [Fact]
    public void No_folder_and_no_type_has_a_name_that_says_nothing()
    {
        var folders = SourceFiles.All
            .SelectMany(path => SourceFiles.Short(Path.GetDirectoryName(path)!).Split(Path.DirectorySeparatorChar))
            .Distinct()
            .Where(folder => SaysNothing().IsMatch(folder));
        var types = SourceFiles.All
            .SelectMany(path => TypeName().Matches(File.ReadAllText(path)).Select(match => match.Groups[1].Value))
            .Where(type => SaysNothing().IsMatch(type));

        Assert.Empty(folders.Concat(types));
    }

    [GeneratedRegex("(Common|Utils?|Utilit(y|ies)|Helpers?|Managers?)$")]
    private static partial Regex SaysNothing();

    [GeneratedRegex(@"\b(?:class|struct|record|interface|enum)\s+(?:struct\s+|class\s+)?([A-Z]\w*)")]
    private static partial Regex TypeName();
}
