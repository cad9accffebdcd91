using System.Globalization;
using System.Numerics;
using BusScope.Signals.Expressions;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Expressions;

public class EvaluationTests
{
    private static readonly double?[] operandValues = [null, 0, 1, -1, 2.5, 255, -40];

    private static readonly string[] binary = ["+", "-", "*", "/", "%", "==", "!=", "<", "<=", ">", ">=", "and", "or", "min", "max"];

    private static readonly Gen<Tree> anyTree = Gen.Recursive<Tree>((depth, inner) => depth > 4
        ? Leaf()
        : Gen.Frequency(
            (2, Leaf()),
            (4, Gen.Select(Gen.Int[0, binary.Length - 1], inner, inner, (op, x, y) => (Tree)new Two(binary[op], x, y))),
            (1, Gen.Select(Gen.Int[0, 7], inner, (op, x) => (Tree)new One(((string[])["-", "not ", "abs", "sqrt", "round", "floor", "ceil", "sign"])[op], x))),
            (1, Gen.Select(inner, inner, inner, (x, y, z) => (Tree)new Three(x, y, z)))));

    private static readonly string[] pieces = ["a", "b/c", "'x y'", "1", "0x1F", "2.5e3", "(", ")", "+", "-", "*", "/", "%", "==", "<=", "!", "=", "and", "or", "not", "min(", ",", "clamp(", " ", "\"", "\u0001", "é", "😀", ".", "&&", "99999999999999999999", "1e999"];

    // An evaluator of its own: a tree that is walked, with null for what is not available.
    [Fact]
    public void An_expression_gives_what_a_walk_over_its_tree_gives() =>
        (from tree in anyTree
         from values in Gen.Int[0, operandValues.Length - 1].Array[3]
         select (tree, values: values.Select(i => operandValues[i]).ToArray())).Sample((tree, values) =>
        {
            var expression = Expression.Parse(tree.Text(), out var fault);
            Assert.True(fault is null, fault?.Message);
            var operands = expression!.References.Select(reference => values[reference.Name[0] - 'a'] ?? double.NaN).ToArray();

            Assert.Equal(tree.Value(values) ?? double.NaN, expression.Evaluate(operands));
        }, iter: 10_000);

    [Fact]
    public void No_text_makes_the_parser_throw_and_every_fault_lies_in_the_text() =>
        Gen.Int[0, pieces.Length - 1].Array[0, 40].Sample(chosen =>
        {
            var text = string.Concat(chosen.Select(i => pieces[i]));

            var expression = Expression.Parse(text, out var fault);

            Assert.NotEqual(expression is null, fault is null);
            if (fault is not null)
            {
                Assert.InRange(fault.Position, 0, text.Length);
                Assert.InRange(fault.Length, 1, Math.Max(1, text.Length - fault.Position));
                Assert.NotEmpty(fault.Message);
            }
            else
            {
                _ = expression!.Evaluate(new double[expression.References.Count]);
            }
        }, iter: 20_000);

    [Theory]
    [InlineData("(", ")")]
    [InlineData("-", "")]
    [InlineData("not ", "")]
    [InlineData("abs(", ")")]
    [InlineData("1 + (", ")")]
    public void Nesting_without_end_is_refused(string open, string close)
    {
        var text = string.Concat(Enumerable.Repeat(open, 200)) + "1" + string.Concat(Enumerable.Repeat(close, 200));

        Assert.Null(Expression.Parse(text, out var fault));
        Assert.NotNull(fault);
    }

    [Fact]
    public void Size_without_end_is_refused()
    {
        Assert.Null(Expression.Parse(string.Join('+', Enumerable.Repeat("1", 1_000)), out var steps));
        Assert.Null(Expression.Parse(new string(' ', 5_000) + "1", out var length));
        Assert.StartsWith("the expression is too large", steps!.Message, StringComparison.Ordinal);
        Assert.StartsWith("an expression of 5001 characters", length!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Evaluating_allocates_nothing()
    {
        var expression = Expression.Parse("clamp((a - b) / b, -1, 1) > 0.1 and not c == on", out _)!;
        var operands = new double[expression.References.Count];
        operands.AsSpan().Fill(3);

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 1_000; i++)
            {
                _ = expression.Evaluate(operands);
            }
        }));
    }

    private static Gen<Tree> Leaf() => Gen.Frequency(
        (1, Gen.Int[0, 2].Select(i => (Tree)new Name(i))),
        (1, Gen.Int[0, 40].Select(n => (Tree)new Number(n / 4.0))));

    private abstract record Tree
    {
        public abstract string Text();

        public abstract double? Value(double?[] operands);
    }

    private sealed record Number(double Of) : Tree
    {
        public override string Text() => Of.ToString(CultureInfo.InvariantCulture);

        public override double? Value(double?[] operands) => Of;
    }

    private sealed record Name(int Index) : Tree
    {
        public override string Text() => $"{(char)('a' + Index)}";

        public override double? Value(double?[] operands) => operands[Index];
    }

    private sealed record One(string Op, Tree X) : Tree
    {
        // "not" binds more loosely than what may follow it, so it stands in parentheses of its own.
        public override string Text() => Op == "not " ? $"(not ({X.Text()}))" : $"{Op}({X.Text()})";

        public override double? Value(double?[] operands)
        {
            if (X.Value(operands) is not { } x || double.IsNaN(x))
            {
                return null;
            }

            return Op switch
            {
                "-" => -x,
                "not " => x == 0 ? 1 : 0,
                "abs" => x < 0 ? -x : x,
                "sqrt" => x < 0 ? null : Math.Sqrt(x),
                "round" => Math.Truncate(x) + (Math.Abs(x - Math.Truncate(x)) < 0.5 ? 0 : Math.Sign(x)),
                "floor" => Math.Floor(x),
                "ceil" => -Math.Floor(-x),
                _ => x < 0 ? -1 : x > 0 ? 1 : 0,
            };
        }
    }

    private sealed record Two(string Op, Tree X, Tree Y) : Tree
    {
        public override string Text() => Op is "min" or "max" ? $"{Op}({X.Text()}, {Y.Text()})" : $"({X.Text()} {Op} {Y.Text()})";

        public override double? Value(double?[] operands)
        {
            var (x, y) = (Known(X.Value(operands)), Known(Y.Value(operands)));
            if (Op == "and")
            {
                return x == 0 || y == 0 ? 0 : x is null || y is null ? null : 1;
            }

            if (Op == "or")
            {
                return x is not null and not 0 || y is not null and not 0 ? 1 : x is null || y is null ? null : 0;
            }

            if (x is null || y is null)
            {
                return null;
            }

            static double? Truth(bool holds) => holds ? 1 : 0;
            return Op switch
            {
                "+" => x + y,
                "-" => x - y,
                "*" => x * y,
                "/" => y == 0 ? null : x / y,
                "%" => y == 0 ? null : ExactRemainder(x.Value, y.Value),
                "==" => Truth(x == y),
                "!=" => Truth(x != y),
                "<" => Truth(x < y),
                "<=" => Truth(x <= y),
                ">" => Truth(x > y),
                ">=" => Truth(x >= y),
                "min" => x < y ? x : y,
                _ => x > y ? x : y,
            };
        }

        // In whole numbers of the smaller of both units in the last place, so that nothing is rounded on the way.
        private static double? ExactRemainder(double x, double y)
        {
            if (double.IsInfinity(x))
            {
                return null;
            }

            if (double.IsInfinity(y))
            {
                return x;
            }

            var (xs, xe) = Parts(x);
            var (ys, ye) = Parts(y);
            var unit = Math.Min(xe, ye);
            return Math.ScaleB((double)BigInteger.Remainder(xs << (xe - unit), ys << (ye - unit)), unit);
        }

        private static (BigInteger Significand, int Exponent) Parts(double value)
        {
            var bits = BitConverter.DoubleToInt64Bits(value);
            var exponent = (int)((bits >> 52) & 0x7FF);
            var fraction = (bits & 0xF_FFFF_FFFF_FFFF) | (exponent == 0 ? 0 : 1L << 52);
            return (bits < 0 ? -fraction : fraction, Math.Max(exponent, 1) - 1075);
        }

        private static double? Known(double? value) => value is { } known && !double.IsNaN(known) ? known : null;
    }

    private sealed record Three(Tree X, Tree Low, Tree High) : Tree
    {
        public override string Text() => $"clamp({X.Text()}, {Low.Text()}, {High.Text()})";

        public override double? Value(double?[] operands)
        {
            var (x, low, high) = (X.Value(operands), Low.Value(operands), High.Value(operands));
            return x is not { } value || low is not { } least || high is not { } most || double.IsNaN(value) || double.IsNaN(least) || double.IsNaN(most) ? null
                : value < least && least <= most ? least
                : value > most || least > most ? most
                : value;
        }
    }
}
