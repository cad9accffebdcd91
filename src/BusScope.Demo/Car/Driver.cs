namespace BusScope.Demo.Car;

/// <summary>Follows the script: holds the wanted speed with accelerator and brake like a calm driver, or presses as told.</summary>
internal sealed class Driver(Script script)
{
    private double held;

    /// <summary>Accelerator, 0 to 1.</summary>
    public double Pedal { get; private set; }

    /// <summary>Brake, 0 to 1.</summary>
    public double Brake { get; private set; }

    /// <summary>Steering wheel in degrees, positive to the left.</summary>
    public double Steering { get; private set; }

    /// <summary>How fast it turns, degrees/s.</summary>
    public double SteeringRate { get; private set; }

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    public void Advance(double dt, double time, double speedKmh, bool canDrive)
    {
        var steering = script.Steering.At(time);
        SteeringRate = (steering - Steering) / dt;
        Steering = steering;
        var (pedal, brake) = (script.Pedal.At(time), script.Brake.At(time));
        if (script.WantedSpeed is { } wanted && canDrive)
        {
            (pedal, var more) = Hold(dt, wanted.At(time), speedKmh);
            brake = Math.Max(brake, more);
        }

        // A foot takes some tenths of a second.
        Pedal += (pedal - Pedal) * Math.Min(1, dt / 0.12);
        Brake += (brake - Brake) * Math.Min(1, dt / 0.1);
        if (Pedal < 0.004 && pedal <= 0)
            Pedal = 0;
    }

    private (double Pedal, double Brake) Hold(double dt, double wanted, double speed)
    {
        if (wanted < 0.3)
        {
            held = 0;
            return (0, speed < 4 ? 0.22 : 0.16);
        }

        var error = wanted - speed;
        held = Math.Clamp(held + (error * (error < 0 ? 0.05 : 0.012) * dt), 0, 0.5);
        var demand = (error * 0.035) + held + 0.04;
        return demand >= 0 ? (Math.Min(0.85, demand), 0) : (0, Math.Min(0.6, -demand * 0.7));
    }
}
