namespace BusScope.Reports.Pages.Plots;

/// <summary>Round places along an axis: steps of 1, 2 or 5 times a power of ten.</summary>
internal static class RoundSteps
{
    private static readonly double[] Mantissas = [1, 2, 5, 10];

    /// <summary>From 0 to a length that is above 0, at most so many steps.</summary>
    public static IEnumerable<double> Over(double length, int most)
    {
        var power = Math.Pow(10, Math.Floor(Math.Log10(length / most)));
        var step = power * Mantissas.First(mantissa => mantissa == Mantissas[^1] || power * mantissa * most >= length);
        for (var i = 0; i * step <= length; i++)
        {
            yield return i * step;
        }
    }
}
