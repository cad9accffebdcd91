namespace BusScope.Demo.Car;

/// <summary>
/// A four-cylinder petrol engine with the standalone controller's idle control and rev limiter: torque against speed, inertia,
/// drag, compression ripple while it is being cranked. Angles in rad, torque in Nm, times in s.
/// </summary>
internal sealed class Engine
{
    /// <summary>Of crankshaft and flywheel, kg m².</summary>
    public const double Inertia = 0.17;

    /// <summary>Above this the controller cuts the fuel, rpm.</summary>
    public const double Limit = 7200;

    private const double IdleTarget = 850;
    private const double RadPerRpm = Math.PI / 30;
    private const double PatternTurns = 1.5;
    private const double CompressionTorque = 55;

    // Full-load torque every 1000 rpm from 0.
    private static readonly double[] fullLoad = [150, 215, 290, 340, 372, 380, 362, 325, 250, 0];

    private double patternAngle;
    private double idleAir = 0.11;
    private double afterStart;

    /// <summary>Crankshaft speed, rad/s, never negative.</summary>
    public double Speed { get; private set; }

    /// <summary>Crankshaft speed, rpm.</summary>
    public double Rpm => Speed / RadPerRpm;

    /// <summary>Whether the controller can see the crankshaft at all.</summary>
    public bool SensorWorks { get; set; } = true;

    /// <summary>Speed as the controller sees it, rpm.</summary>
    public double MeasuredRpm => SensorWorks ? Rpm : 0;

    /// <summary>Whether the pattern of the crank wheel has been recognised.</summary>
    public bool IsSynchronous { get; private set; }

    /// <summary>Whether it runs by its own power.</summary>
    public bool IsRunning { get; private set; }

    /// <summary>Throttle opening after the actuator, 0 to 1.</summary>
    public double Throttle { get; private set; } = 0.05;

    /// <summary>What the idle control aims at, rpm.</summary>
    public double Target { get; private set; } = IdleTarget;

    /// <summary>Torque at the flywheel, Nm.</summary>
    public double Torque { get; private set; }

    /// <summary>Largest torque at this speed, Nm.</summary>
    public double Available => Interpolate(Rpm);

    /// <summary>Whether the rev limiter cuts in.</summary>
    public bool IsLimited { get; private set; }

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    /// <param name="dt">Seconds, small against the driveline's time constants: 0.00025.</param>
    /// <param name="isSupplied">Whether the controller has the supply it needs.</param>
    /// <param name="pedal">Accelerator, 0 to 1.</param>
    /// <param name="torqueFactor">What the gearbox lets through during a shift, 0 to 1.</param>
    /// <param name="starterTorque">From the starter, at the crankshaft.</param>
    /// <param name="load">Taken by clutch, alternator and compressor.</param>
    /// <param name="isFree">Whether the clutch is open, so that the idle control may learn.</param>
    /// <param name="limit">Above this the controller cuts the fuel, rpm: <see cref="Limit"/>, or less for a launch.</param>
    public void Advance(double dt, bool isSupplied, double pedal, double torqueFactor, double starterTorque, double load, bool isFree, double limit)
    {
        Synchronise(dt, isSupplied);
        ControlIdle(dt, pedal, isFree);
        IsLimited = Rpm > limit || (IsLimited && Rpm > limit - 120);
        var isAlight = IsSynchronous && isSupplied && Rpm > 120;
        var fires = isAlight && !IsLimited;
        // Cold walls and slow oil: cranking takes more than turning.
        var drag = Speed > 0 ? 14 + (38 / (1 + (Speed / 45 * (Speed / 45)))) + (0.035 * Speed) + (0.00006 * Speed * Speed) : 0;
        var filling = Math.Min(1, Throttle * 1.25);
        var indicated = fires ? ((Available + drag) * filling * torqueFactor) + (drag * Math.Max(0, 0.1 - Throttle)) : 0;
        Torque = indicated - drag;
        // Compression is felt only while the crankshaft turns slowly; at speed the flywheel hides it.
        var ripple = Speed > 0 ? CompressionTorque * Math.Sin(2 * patternAngle) / (1 + (Speed / 30 * (Speed / 30))) : 0;
        Speed = Math.Max(0, Speed + ((Torque + starterTorque - ripple - load) / Inertia * dt));
        IsRunning = isAlight && (Rpm > 480 || (IsRunning && Rpm > 200));
    }

    private void Synchronise(double dt, bool isSupplied)
    {
        patternAngle += Speed * dt;
        if (!isSupplied || !SensorWorks || Rpm < 40)
        {
            IsSynchronous = false;
            afterStart = 0;
            patternAngle %= 2 * Math.PI;
        }
        else if (patternAngle > PatternTurns * 2 * Math.PI)
        {
            IsSynchronous = true;
        }
    }

    private void ControlIdle(double dt, double pedal, bool isFree)
    {
        afterStart = IsRunning ? afterStart + dt : 0;
        Target = IdleTarget + (350 * Math.Exp(-afterStart / 2.5));
        var error = (Target - Rpm) / 1000;
        // It learns only near idle with the clutch open, or a drive would wind it up.
        if (IsRunning && isFree && pedal < 0.01 && Math.Abs(error) < 0.5)
            idleAir = Math.Clamp(idleAir + (error * 0.45 * dt), 0.03, 0.3);
        var wanted = IsRunning ? Math.Clamp(idleAir + (pedal < 0.01 ? error * 0.4 : 0), 0, 0.35) + (pedal * 0.95) : 0.16;
        Throttle += (Math.Clamp(wanted, 0, 1) - Throttle) * Math.Min(1, dt / 0.05);
    }

    private static double Interpolate(double rpm)
    {
        var at = Math.Clamp(rpm / 1000, 0, fullLoad.Length - 1.001);
        var below = (int)at;
        return fullLoad[below] + ((fullLoad[below + 1] - fullLoad[below]) * (at - below));
    }
}
