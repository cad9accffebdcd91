namespace BusScope.Demo.Car;

/// <summary>A quantity over time as straight lines between given points.</summary>
internal sealed class Trace(params (double At, double Value)[] points)
{
    /// <summary>Nothing all the time.</summary>
    public static Trace Zero { get; } = new((0, 0));

    /// <summary>The value at a time in s; before the first and after the last point theirs.</summary>
    public double At(double time)
    {
        if (time <= points[0].At)
            return points[0].Value;
        for (var i = 1; i < points.Length; i++)
        {
            if (time < points[i].At)
            {
                var (from, to) = (points[i - 1], points[i]);
                return from.Value + ((to.Value - from.Value) * (time - from.At) / (to.At - from.At));
            }
        }

        return points[^1].Value;
    }

    /// <summary>The value of the last point that is not later: for what switches.</summary>
    public double Held(double time)
    {
        var value = points[0].Value;
        foreach (var point in points)
        {
            if (point.At > time)
                break;
            value = point.Value;
        }

        return value;
    }
}
