using System.Globalization;

namespace BusScope.Signals.Expressions;

/// <summary>Cuts the text of an expression into tokens (docs/expressions.md, "How it is read").</summary>
internal ref struct Tokenizer(string text)
{
    private static readonly string[] operators = ["==", "!=", "<=", ">=", "<", ">", "+", "-", "*", "/", "%"];

    private int position = 0;

    /// <summary>The next token; at the end <see cref="TokenKind.End"/> again and again.</summary>
    public Token Next()
    {
        while (position < text.Length && char.IsWhiteSpace(text[position]))
        {
            position++;
        }

        if (position == text.Length)
        {
            return new Token(TokenKind.End, position, 1, "the end");
        }

        var first = text[position];
        return first switch
        {
            '(' => Take(TokenKind.Open, 1),
            ')' => Take(TokenKind.Close, 1),
            ',' => Take(TokenKind.Comma, 1),
            '"' or '\'' => Name(),
            '.' => Number(),
            _ when char.IsAsciiDigit(first) => Number(),
            _ when IsNameStart(first) => Name(),
            _ => Operator(),
        };
    }

    private static bool IsNameStart(char c) => char.IsLetter(c) || c == '_';

    private static bool IsNamePart(char c) => char.IsLetterOrDigit(c) || c is '_' or '.';

    private Token Take(TokenKind kind, int length)
    {
        var token = new Token(kind, position, length, text.Substring(position, length));
        position += length;
        return token;
    }

    private Token Fault(int length, string message)
    {
        var token = new Token(TokenKind.Fault, position, length, message);
        position += length;
        return token;
    }

    private Token Operator()
    {
        foreach (var each in operators)
        {
            if (text.AsSpan(position).StartsWith(each, StringComparison.Ordinal))
            {
                return Take(TokenKind.Operator, each.Length);
            }
        }

        var two = text.AsSpan(position, Math.Min(2, text.Length - position));
        return two switch
        {
            "&&" => Fault(2, "found '&&'; expected 'and'"),
            "||" => Fault(2, "found '||'; expected 'or'"),
            ['!', ..] => Fault(1, "found '!'; expected 'not', or '!=' between two values"),
            ['=', ..] => Fault(1, "found '='; expected '==' for equality"),
            _ => Fault(char.IsSurrogatePair(text, position) ? 2 : 1, $"found {Describe(text[position])}; expected a value or an operator"),
        };
    }

    private static string Describe(char c) => char.IsControl(c) || char.IsSurrogate(c) ? $"character U+{(int)c:X4}" : $"'{c}'";

    // A name, or two joined by a slash without blanks: Message/Signal.
    private Token Name()
    {
        var start = position;
        var isQuoted = false;
        if (!Part(ref isQuoted, out var name))
        {
            return Fault(text.Length - start, "the quote is not closed");
        }

        if (position + 1 < text.Length && text[position] == '/' && (IsNameStart(text[position + 1]) || text[position + 1] is '"' or '\''))
        {
            var slash = position++;
            if (!Part(ref isQuoted, out var second))
            {
                position = slash + 1;
                return Fault(text.Length - position, "the quote is not closed");
            }

            name = $"{name}/{second}";
            isQuoted = true;
            if (position < text.Length && text[position] == '/')
            {
                return Fault(1, "found a second '/'; a path is Message/Signal, a division has blanks around its '/'");
            }
        }

        return new Token(TokenKind.Name, start, position - start, name, IsQuoted: isQuoted);
    }

    private bool Part(ref bool isQuoted, out string name)
    {
        var start = position;
        if (text[position] is '"' or '\'')
        {
            isQuoted = true;
            var end = text.IndexOf(text[position], position + 1);
            name = end < 0 ? "" : text[(position + 1)..end];
            position = end < 0 ? position : end + 1;
            return end >= 0;
        }

        while (position < text.Length && IsNamePart(text[position]))
        {
            position++;
        }

        name = text[start..position];
        return true;
    }

    private Token Number()
    {
        var start = position;
        var rest = text.AsSpan(start);
        if (rest.StartsWith("0x", StringComparison.OrdinalIgnoreCase))
        {
            var digits = 2;
            while (digits < rest.Length && char.IsAsciiHexDigit(rest[digits]))
            {
                digits++;
            }

            if (ulong.TryParse(rest[2..digits], NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var whole) && !IsFollowed(digits))
            {
                position += digits;
                return new Token(TokenKind.Number, start, digits, text[start..position], whole);
            }

            return Fault(WordLength(), "expected a hexadecimal number of 1 to 16 digits");
        }

        var length = DigitsFrom(0);
        if (length < rest.Length && rest[length] == '.')
        {
            length = DigitsFrom(length + 1);
        }

        if (length < rest.Length && rest[length] is 'e' or 'E')
        {
            var signed = length + 1 < rest.Length && rest[length + 1] is '+' or '-' ? length + 2 : length + 1;
            length = DigitsFrom(signed) > signed ? DigitsFrom(signed) : length;
        }

        if (double.TryParse(rest[..length], NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out var value)
            && double.IsFinite(value) && !IsFollowed(length))
        {
            position += length;
            return new Token(TokenKind.Number, start, length, text[start..position], value);
        }

        return Fault(WordLength(), "expected a number such as 12, 0.5, 1e-3 or 0x1F; a unit does not belong here");
    }

    private readonly int DigitsFrom(int offset)
    {
        while (position + offset < text.Length && char.IsAsciiDigit(text[position + offset]))
        {
            offset++;
        }

        return offset;
    }

    private readonly bool IsFollowed(int length) => position + length < text.Length && IsNamePart(text[position + length]);

    private readonly int WordLength()
    {
        var length = 1;
        while (IsFollowed(length))
        {
            length++;
        }

        return length;
    }
}
