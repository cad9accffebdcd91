using System.Text.RegularExpressions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Transport.Tests;

public class CapturesPageTests
{
    [Fact]
    public void The_page_explains_every_problem_code_and_no_other()
    {
        var page = File.ReadAllText(RepoFiles.Path("docs", "captures.md"));

        var explained = Regex.Matches(page, @"^\| `([a-z-]+)` \|", RegexOptions.Multiline).Select(m => m.Groups[1].Value);

        Assert.Equal(CaptureProblems.All.Select(kind => kind.Code), explained);
    }

    [Fact]
    public void Every_problem_kind_stands_in_the_list_of_all()
    {
        var declared = typeof(CaptureProblems).GetProperties().Where(p => p.PropertyType.Name == "ProblemKind").Select(p => p.GetValue(null));

        Assert.Equal(declared, CaptureProblems.All);
    }
}
