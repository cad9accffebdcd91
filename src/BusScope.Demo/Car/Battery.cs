namespace BusScope.Demo.Car;

/// <summary>
/// Battery, starter and alternator: a voltage behind a resistance, a motor whose back voltage grows with the crankshaft's speed,
/// and a regulator that comes in softly. Volts, amperes, ohms.
/// </summary>
internal sealed class Battery
{
    private const double StarterResistance = 0.027;

    // V s/rad and Nm/A at the crankshaft, starter gearing included.
    private const double StarterConstant = 0.285;
    private const double StarterInductance = 0.0004;
    private const double Regulated = 14.2;

    private readonly double openVoltage;
    private readonly double resistance;
    private double starterCurrent;
    private double alternator;

    private Battery(double openVoltage, double resistance)
    {
        this.openVoltage = openVoltage;
        this.resistance = resistance;
        Voltage = openVoltage;
    }

    /// <summary>A healthy battery at rest.</summary>
    public static Battery Healthy() => new(12.62, 0.0058);

    /// <summary>An old battery, half empty.</summary>
    public static Battery Weak() => new(11.6, 0.041);

    /// <summary>At the terminals.</summary>
    public double Voltage { get; private set; }

    /// <summary>Into the battery; negative while it is being discharged.</summary>
    public double Current { get; private set; }

    /// <summary>Of the starter, at the crankshaft, Nm.</summary>
    public double StarterTorque => StarterConstant * starterCurrent;

    /// <summary>How hard the alternator works, 0 to 1.</summary>
    public double AlternatorLoad => alternator / 120;

    /// <summary>Torque the alternator takes from the crankshaft, Nm.</summary>
    public double AlternatorTorque(double engineSpeed) => engineSpeed > 60 ? Math.Min(14, alternator * Voltage / 0.6 / engineSpeed) : 0;

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    public void Advance(double dt, bool starterClosed, double engineSpeed, bool engineRuns, double loadCurrent)
    {
        // A one-way clutch lets the engine overrun the starter: the current never turns negative.
        var driving = starterClosed ? Voltage - (StarterConstant * engineSpeed) : 0;
        starterCurrent = starterClosed
            ? Math.Max(0, starterCurrent + ((driving - (StarterResistance * starterCurrent)) / StarterInductance * dt))
            : 0;
        var wanted = engineRuns ? Math.Clamp((Regulated - Voltage) * 60 + alternator, 0, 120) : 0;
        alternator += (wanted - alternator) * Math.Min(1, dt / 0.6);
        Current = alternator - starterCurrent - loadCurrent;
        Voltage = openVoltage + (Math.Min(0, Current) * resistance) + (Math.Max(0, Current) * resistance * 6);
    }
}
