using System.Globalization;
using BusScope.Signals.Expressions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Expressions;

public class ExpressionDocumentTests
{
    public static TheoryData<string, string, string> Examples =>
        [.. Table("## Examples").Select(cells => (cells[0].Trim('`'), cells[1], cells[2]))];

    [Theory]
    [MemberData(nameof(Examples))]
    public void The_documented_example_gives_what_it_says(string text, string with, string gives)
    {
        var given = with.Split(", ", StringSplitOptions.RemoveEmptyEntries).Select(pair => pair.Split('=')).ToDictionary(pair => pair[0], pair => Number(pair[1]));
        var expression = Expression.Parse(text, out _)!;

        var value = expression.Evaluate([.. expression.References.Select(reference => given[reference.Name])]);

        Assert.Equal(Number(gives), value);
    }

    [Fact]
    public void Every_function_is_documented_and_shown_by_an_example()
    {
        var documented = Table("## Functions").Select(cells => cells[0].Trim('`').Split('(')[0]);

        Assert.Equal(Function.Names.Split(", "), documented);
        Assert.All(Function.Names.Split(", "), name => Assert.Contains(Table("## Examples"), cells => cells[0].Contains(name + "(", StringComparison.Ordinal)));
    }

    [Fact]
    public void The_documented_limits_are_those_of_the_parser() =>
        Assert.Contains($"Limits: {Parser.LargestText} characters, {Parser.LargestSteps} steps, {Parser.LargestDepth} open values, {Parser.LargestNesting} levels", File.ReadAllText(RepoFiles.Path("docs", "expressions.md")), StringComparison.Ordinal);

    private static double Number(string text) => text == "na" ? double.NaN : double.Parse(text, CultureInfo.InvariantCulture);

    private static IEnumerable<string[]> Table(string heading) =>
        File.ReadLines(RepoFiles.Path("docs", "expressions.md")).SkipWhile(line => line != heading).Skip(1).TakeWhile(line => !line.StartsWith("## ", StringComparison.Ordinal))
            .Where(line => line.StartsWith('|')).Skip(2).Select(line => line.Trim('|').Split('|').Select(cell => cell.Trim()).ToArray());
}
