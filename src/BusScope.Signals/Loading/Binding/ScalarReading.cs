using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Single values with their faults: the readers that sections, lists and name mappings share.</summary>
internal static class ScalarReading
{
    /// <summary>The value as a single text, or null with a fault.</summary>
    public static ScalarNode? Scalar(this FaultList faults, Node node, string accepts)
    {
        if (node is ScalarNode { IsNothing: false } scalar)
        {
            return scalar;
        }

        faults.Add(Faults.WrongType, node.Place, $"found {node.Describe()}; expected a value: {accepts}");
        return null;
    }

    /// <summary>A whole number within bounds.</summary>
    public static Int128? Whole(this FaultList faults, ScalarNode scalar, Int128 smallest, Int128 largest)
    {
        if (!Literal.TryWhole(scalar.Value, out var value))
        {
            faults.Add(Faults.BadNumber, scalar.Place, $"found {scalar.Describe()}; expected a whole number, decimal or with 0x or 0b", HexWithoutMark(scalar.Value));
            return null;
        }

        if (value < smallest || value > largest)
        {
            faults.Add(Faults.OutOfBounds, scalar.Place, $"found {scalar.Value}; expected {smallest} to {largest}");
            return null;
        }

        return value;
    }

    /// <summary>A number.</summary>
    public static double? Number(this FaultList faults, ScalarNode scalar)
    {
        if (Literal.TryNumber(scalar.Value, out var value))
        {
            return value;
        }

        faults.Add(Faults.BadNumber, scalar.Place, $"found {scalar.Describe()}; expected a number", NumberHint(scalar.Value));
        return null;
    }

    /// <summary>A text for a person: any characters but controls.</summary>
    public static string? Text(this FaultList faults, ScalarNode scalar)
    {
        if (Literal.IsText(scalar.Value))
        {
            return scalar.Value;
        }

        faults.Add(Faults.BadText, scalar.Place, scalar.Value.Length > Literal.LongestText
            ? $"the text has {scalar.Value.Length} characters; at most {Literal.LongestText} are kept"
            : $"found {scalar.Describe()}; expected a text in one line without control characters");
        return null;
    }

    /// <summary>
    /// Whether the key can serve as a name. Names of signals, messages and computed signals stand in expressions, so they are
    /// letters, digits and underscores; other names may have hyphens and points too.
    /// </summary>
    public static bool Name(this FaultList faults, ScalarNode key, bool inExpressions)
    {
        var name = key.Value;
        if (Literal.IsName(name, inExpressions))
        {
            return true;
        }

        var expected = inExpressions ? "a letter, then letters, digits and _" : "letters, digits, and - _ .";
        faults.Add(Faults.BadName, key.Place, name.Length > Literal.LongestName
            ? $"the name has {name.Length} characters; expected at most {Literal.LongestName}"
            : $"{FaultList.Quote(name)} cannot be a name; expected {expected}", NameHint(name, inExpressions));
        return false;
    }

    /// <summary>Whether the key can serve as the name of a bus.</summary>
    public static bool BusName(this FaultList faults, ScalarNode key)
    {
        if (faults.Text(key) is not { } name)
        {
            return false;
        }

        if (Literal.IsBusName(name))
        {
            return true;
        }

        faults.Add(Faults.BadName, key.Place, $"{FaultList.Quote(name)} cannot be the name of a bus; expected the name under which captures know it");
        return false;
    }

    private static string? HexWithoutMark(string text) =>
        text.Length is > 0 and <= 16 && text.All(char.IsAsciiHexDigit) ? $"did you mean '0x{text}'?" : NumberHint(text);

    private static string? NumberHint(string text) =>
        text.Contains(',', StringComparison.Ordinal) && Literal.TryNumber(text.Replace(',', '.'), out _) ? $"did you mean '{text.Replace(',', '.')}'?" : null;

    private static string? NameHint(string name, bool inExpressions)
    {
        var better = new string([.. name.Take(Literal.LongestName).Select(c => char.IsLetter(c) || char.IsAsciiDigit(c) ? c : '_')]).Trim('_');
        better = better.Length > 0 && inExpressions && char.IsAsciiDigit(better[0]) ? "_" + better : better;
        return better.Length > 0 ? $"for example '{better}'" : null;
    }
}
