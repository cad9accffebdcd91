using BusScope.Demo.Car;

namespace BusScope.Demo.Senders;

/// <summary>What a sender looks at when it fills a frame.</summary>
/// <param name="Car">The car at this moment.</param>
/// <param name="Count">Frames of this message before this one.</param>
/// <param name="Noise">Sensor noise.</param>
internal readonly record struct Reading(Dunlin Car, long Count, SeededRandom Noise)
{
    /// <summary>"I have no valid value": sent as the signal's not-available raw value.</summary>
    public const double NotAvailable = double.NaN;

    /// <summary>What the translator knows only from the race bus.</summary>
    public double FromRace(double value) => Car.Condition.RacePlugIsIn ? value : NotAvailable;

    /// <summary>A value with normally spread noise, kept between two bounds.</summary>
    public double Noisy(double value, double deviation, double least, double most) =>
        Math.Clamp(value + Noise.Spread(deviation), least, most);

    /// <summary>1 for yes, 0 for no.</summary>
    public static double Flag(bool value) => value ? 1 : 0;
}
