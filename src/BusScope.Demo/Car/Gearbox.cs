namespace BusScope.Demo.Car;

/// <summary>Where the selector lever stands; numbered as the car sends it.</summary>
internal enum Selector
{
    /// <summary>Locked.</summary>
    Park,

    /// <summary>Backwards.</summary>
    Reverse,

    /// <summary>Free.</summary>
    Neutral,

    /// <summary>Forwards.</summary>
    Drive,
}

/// <summary>An automated six-speed gearbox with one clutch: shifts by speed and pedal, opens the clutch while it does. Speeds in rad/s, torque in Nm.</summary>
internal sealed class Gearbox
{
    /// <summary>Of the final drive.</summary>
    public const double FinalRatio = 3.73;

    private const double ShiftTime = 0.28;
    private const double ClutchCapacity = 620;
    private const double StallSpeed = 100;

    private static readonly double[] ratios = [0, 3.58, 2.19, 1.52, 1.16, 0.94, 0.79];

    private double shiftLeft;
    private double bite;

    /// <summary>Engaged gear, 0 for neutral.</summary>
    public int Gear { get; private set; }

    /// <summary>The gear that is engaged after the shift.</summary>
    public int TargetGear { get; private set; }

    /// <summary>Finished shifts since the car was built.</summary>
    public int ShiftCount { get; private set; } = 48_211;

    /// <summary>Whether a shift is under way.</summary>
    public bool IsShifting => shiftLeft > 0;

    /// <summary>How much of the engine's torque it lets through.</summary>
    public double TorqueFactor => IsShifting && Gear != 0 ? 0.12 : 1;

    /// <summary>How far the clutch is closed, 0 to 1.</summary>
    public double Engagement { get; private set; }

    /// <summary>Carried by the clutch, from engine to wheels.</summary>
    public double ClutchTorque { get; private set; }

    /// <summary>Turns of the input shaft for one of the wheels; 0 in neutral.</summary>
    public double Ratio => ratios[Gear] * FinalRatio;

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    public void Advance(double dt, Selector selector, double engineSpeed, double wheelSpeed, double pedal, double brake, double speedKmh)
    {
        Choose(selector, engineSpeed, pedal, speedKmh);
        if (shiftLeft > 0 && (shiftLeft -= dt) <= 0)
        {
            Gear = TargetGear;
            ShiftCount++;
        }

        var input = wheelSpeed * Ratio;
        var wanted = IsShifting || Gear == 0 ? 0 : Closing(engineSpeed, input, pedal, brake);
        bite += (wanted - bite) * Math.Min(1, dt / 0.07);
        Engagement = bite;
        ClutchTorque = Gear == 0 ? 0 : ClutchCapacity * bite * Math.Tanh((engineSpeed - input) / 6);
    }

    // Launch: the clutch closes as the engine rises above its stall speed, and wholly once both shafts agree.
    private static double Closing(double engineSpeed, double input, double pedal, double brake)
    {
        var biting = Math.Clamp(0.03 + ((engineSpeed - StallSpeed) / 330), 0, 1) * (pedal > 0.02 ? 1 : 0.4);
        if (input > StallSpeed)
            return Math.Abs(engineSpeed - input) < 25 ? 1 : Math.Max(0.3, biting);
        return brake > 0.05 ? 0 : biting;
    }

    private void Choose(Selector selector, double engineSpeed, double pedal, double speedKmh)
    {
        if (IsShifting)
            return;
        var wanted = Gear;
        if (selector != Selector.Drive)
        {
            wanted = 0;
        }
        else if (Gear == 0)
        {
            wanted = 1;
        }
        else
        {
            // Kinematic engine speed: wheel spin must not make it shift before the car is at speed.
            var rpm = speedKmh / 3.6 / Vehicle.TyreRadius * Ratio * 30 / Math.PI;
            var up = 2100 + (4700 * pedal);
            var down = 1150 + (1500 * pedal);
            if (rpm > up && Gear < 6)
                wanted = Gear + 1;
            else if (rpm < down && Gear > 1 && engineSpeed > 0)
                wanted = Gear - 1;
        }

        if (wanted != Gear)
        {
            TargetGear = wanted;
            shiftLeft = ShiftTime;
        }
    }
}
