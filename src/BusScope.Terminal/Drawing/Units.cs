namespace BusScope.Terminal.Drawing;

/// <summary>How a value is shown: converted or as the definition has it.</summary>
/// <param name="Unit">The unit shown; empty for none.</param>
/// <param name="Factor">What the value is multiplied by.</param>
/// <param name="Offset">What is added then.</param>
/// <param name="MoreDecimals">Decimals beyond those of the definition, so that a step stays visible.</param>
internal readonly record struct UnitForm(string Unit, double Factor, double Offset, int MoreDecimals)
{
    /// <summary>The value in <see cref="Unit"/>.</summary>
    public double Of(double value) => (value * Factor) + Offset;
}

/// <summary>
/// Units of the International System beside those of everyday use in the United States. Factors: NIST Special Publication 811
/// (2008), appendix B.8; a pint and a gallon are those of the US, a horsepower is 550 foot pound-force a second.
/// </summary>
internal static class Units
{
    private static readonly Dictionary<string, UnitForm> ToUs = new(StringComparer.OrdinalIgnoreCase)
    {
        ["km/h"] = new("mph", 1 / 1.609344, 0, 0),
        ["m/s"] = new("ft/s", 1 / 0.3048, 0, 0),
        ["km"] = new("mi", 1 / 1.609344, 0, 0),
        ["m"] = new("ft", 1 / 0.3048, 0, 0),
        ["cm"] = new("in", 1 / 2.54, 0, 0),
        ["mm"] = new("in", 1 / 25.4, 0, 1),
        ["°C"] = new("°F", 1.8, 32, 0),
        ["degC"] = new("°F", 1.8, 32, 0),
        ["kPa"] = new("psi", 1 / 6.894757, 0, 1),
        ["hPa"] = new("psi", 1 / 68.94757, 0, 2),
        ["mbar"] = new("psi", 1 / 68.94757, 0, 2),
        ["bar"] = new("psi", 1 / 0.06894757, 0, 0),
        ["MPa"] = new("psi", 1 / 0.006894757, 0, 0),
        ["Nm"] = new("lbf·ft", 1 / 1.355818, 0, 0),
        ["N·m"] = new("lbf·ft", 1 / 1.355818, 0, 0),
        ["N"] = new("lbf", 1 / 4.448222, 0, 1),
        ["l"] = new("gal", 1 / 3.785412, 0, 1),
        ["l/h"] = new("gal/h", 1 / 3.785412, 0, 1),
        ["kg"] = new("lb", 1 / 0.45359237, 0, 0),
        ["g"] = new("oz", 1 / 28.34952, 0, 1),
        ["kg/h"] = new("lb/h", 1 / 0.45359237, 0, 0),
        ["kW"] = new("hp", 1 / 0.7456999, 0, 0),
    };

    /// <summary>How a value of a unit is shown.</summary>
    /// <param name="unit">The definition's unit, or null.</param>
    /// <param name="isUs">Whether units of the United States are wanted; what has none there stays.</param>
    public static UnitForm Form(string? unit, bool isUs) =>
        isUs && unit is not null && ToUs.TryGetValue(unit, out var form) ? form : new UnitForm(unit ?? "", 1, 0, 0);
}
