using BusScope.Signals.Expressions;
using Xunit;

namespace BusScope.Signals.Tests.Expressions;

public class ExpressionTests
{
    [Theory]
    [InlineData("1 + 2 * 3", 7)]
    [InlineData("(1 + 2) * 3", 9)]
    [InlineData("10 - 4 - 3", 3)]
    [InlineData("-2 * -3", 6)]
    [InlineData("7 % 4 + 0x1F", 34)]
    [InlineData("1.5e1 / 2", 7.5)]
    [InlineData("not 1 > 2 and 3 <= 3", 1)]
    [InlineData("1 == 2 or 2 == 2", 1)]
    [InlineData("clamp(12, 0, max(3, 5, 4))", 5)]
    [InlineData("round(2.5) + floor(-0.5) + ceil(0.1) + sign(-3) + abs(-4) + sqrt(9)", 9)]
    [InlineData("true and not false", 1)]
    public void Precedence_is_the_usual_one(string text, double expected) => Assert.Equal(expected, Value(text));

    [Theory]
    [InlineData("", 0, 1)]
    [InlineData("1 +", 3, 1)]
    [InlineData("(1 + 2", 0, 1)]
    [InlineData("1 + 2)", 5, 1)]
    [InlineData("a = b", 2, 1)]
    [InlineData("a && b", 2, 2)]
    [InlineData("1 < a < 3", 6, 1)]
    [InlineData("foo(1)", 0, 3)]
    [InlineData("abs(1, 2)", 0, 3)]
    [InlineData("abs(,)", 4, 1)]
    [InlineData("12km", 0, 4)]
    [InlineData("0xG", 0, 3)]
    [InlineData("'open", 0, 5)]
    [InlineData("a/b/c", 3, 1)]
    [InlineData("a # b", 2, 1)]
    [InlineData("1 2", 2, 1)]
    [InlineData("a and or b", 6, 2)]
    public void A_fault_points_at_its_place(string text, int position, int length)
    {
        var expression = Expression.Parse(text, out var fault);

        Assert.Null(expression);
        Assert.Equal((position, length), (fault!.Position, fault.Length));
    }

    [Fact]
    public void A_slash_without_blanks_joins_message_and_signal_and_with_blanks_divides()
    {
        var path = Expression.Parse("a/b", out _)!;
        var quotient = Expression.Parse("a / b", out _)!;

        Assert.Equal(["a/b"], path.References.Select(reference => reference.Name));
        Assert.Equal(["a", "b"], quotient.References.Select(reference => reference.Name));
        Assert.Equal(4, quotient.Evaluate([8, 2]));
    }

    [Fact]
    public void A_name_compared_with_another_names_it()
    {
        var expression = Expression.Parse("KeyPosition == on and (Relay) != on and KeyPosition == on", out _)!;

        Assert.Equal(["KeyPosition", "on", "Relay", "on"], expression.References.Select(reference => reference.Name));
        Assert.Equal([1, 0, 3, 2], expression.References.Select(reference => reference.ComparedWith));
        Assert.Equal([0, 15, 23, 33], expression.References.Select(reference => reference.Position));
    }

    [Theory]
    [InlineData("x > 0 and 1 == 2", 0)]
    [InlineData("1 == 2 and x > 0", 0)]
    [InlineData("x > 0 or 1 == 1", 1)]
    [InlineData("x > 0 and 1 == 1", double.NaN)]
    [InlineData("not x", double.NaN)]
    [InlineData("x == x", double.NaN)]
    [InlineData("min(x, 1)", double.NaN)]
    [InlineData("sign(x)", double.NaN)]
    [InlineData("1 / 0", double.NaN)]
    [InlineData("1 % 0", double.NaN)]
    public void What_is_not_available_decides_only_where_nothing_else_does(string text, double expected) =>
        Assert.Equal(expected, Expression.Parse(text, out _)!.Evaluate([double.NaN]));

    private static double Value(string text) => Expression.Parse(text, out var fault)?.Evaluate([]) ?? throw new InvalidOperationException(fault!.Message);
}
