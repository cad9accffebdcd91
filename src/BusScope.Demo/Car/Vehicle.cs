namespace BusScope.Demo.Car;

/// <summary>
/// Body and tyres: longitudinal motion with rear-wheel drive and tyre slip, and yaw as a steady bend that builds up. Metres,
/// seconds, newtons, radians.
/// </summary>
internal sealed class Vehicle
{
    /// <summary>Rolling radius of the tyres, m.</summary>
    public const double TyreRadius = 0.316;

    private const double Mass = 1360;
    private const double Gravity = 9.80665;
    private const double Wheelbase = 2.52;
    private const double Track = 1.51;
    private const double CentreHeight = 0.49;
    private const double RearShare = 0.53;
    private const double Drag = 0.5 * 1.2 * 0.64;
    private const double Rolling = 0.012;
    private const double Friction = 1.05;
    private const double RearInertia = 2.4;
    private const double RelaxationLength = 0.35;
    private const double SteeringRatio = 14.5;
    private const double FrontBrakeShare = 0.66;

    private double rearSlip;
    private double forceRear;

    /// <summary>Over the ground, m/s, never negative.</summary>
    public double Speed { get; private set; }

    /// <summary>Over the ground, km/h.</summary>
    public double SpeedKmh => Speed * 3.6;

    /// <summary>Forwards, m/s².</summary>
    public double Acceleration { get; private set; }

    /// <summary>To the left, m/s².</summary>
    public double LateralAcceleration => Speed * YawRate;

    /// <summary>To the left, rad/s.</summary>
    public double YawRate { get; private set; }

    /// <summary>Way gone, m.</summary>
    public double Distance { get; private set; }

    /// <summary>Of the driven wheels, rad/s.</summary>
    public double RearSpeed { get; private set; }

    /// <summary>Surface speeds of the four wheels, m/s: front left, front right, rear left, rear right.</summary>
    public double[] Wheels { get; } = new double[4];

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    /// <param name="dt">Seconds.</param>
    /// <param name="axleTorque">At the driven axle, Nm.</param>
    /// <param name="reflectedInertia">Of gearbox and clutch at the axle, kg m².</param>
    /// <param name="brakeForce">Of all wheels, N.</param>
    /// <param name="steeringWheel">Degrees, positive to the left.</param>
    /// <param name="isParked">Whether the parking pawl holds the driven wheels.</param>
    public void Advance(double dt, double axleTorque, double reflectedInertia, double brakeForce, double steeringWheel, bool isParked)
    {
        var load = (Mass * Gravity * RearShare) + (Mass * Acceleration * CentreHeight / Wheelbase);
        // Relaxation length (first-order build-up over the way rolled) keeps slip defined down to standstill.
        var sliding = (RearSpeed * TyreRadius) - Speed;
        rearSlip += ((sliding - (Math.Max(Speed, Math.Abs(RearSpeed) * TyreRadius * 0.3) * rearSlip)) / RelaxationLength) * dt;
        rearSlip = Math.Clamp(rearSlip, -1, 4);
        forceRear = Friction * load * Math.Sin(1.45 * Math.Atan(11 * rearSlip));
        TurnRearWheels(dt, axleTorque, reflectedInertia, brakeForce * (1 - FrontBrakeShare), isParked);

        var frontBrake = Speed > 0.05 ? brakeForce * FrontBrakeShare : 0;
        var resistance = Speed > 0.02 ? (Drag * Speed * Speed) + (Rolling * Mass * Gravity) : 0;
        var force = forceRear - frontBrake - resistance;
        Acceleration = force / Mass;
        Speed += Acceleration * dt;
        if (Speed < 0.02 && axleTorque * 0.9 < (brakeForce + 200) * TyreRadius)
        {
            // Held by the brake or by friction: at rest.
            Speed = 0;
            Acceleration = 0;
            if (brakeForce > 100 || isParked)
                rearSlip = 0;
        }

        Speed = Math.Max(0, Speed);
        Distance += Speed * dt;
        Turn(dt, steeringWheel, frontBrake);
    }

    private void TurnRearWheels(double dt, double axleTorque, double reflectedInertia, double brakeForce, bool isParked)
    {
        var inertia = RearInertia + reflectedInertia;
        var turning = axleTorque - (forceRear * TyreRadius);
        var braking = brakeForce * TyreRadius;
        var next = RearSpeed + (turning / inertia * dt);
        // Friction of the brake stops the wheel, it never turns it backwards.
        var most = braking / inertia * dt;
        next = Math.Abs(next) <= most ? 0 : next - (Math.Sign(next) * most);
        RearSpeed = isParked ? 0 : Math.Max(0, next);
    }

    private void Turn(double dt, double steeringWheel, double frontBrake)
    {
        var steer = steeringWheel * Math.PI / 180 / SteeringRatio;
        var wanted = Speed * steer / (Wheelbase * (1 + (0.0022 * Speed * Speed)));
        YawRate += (wanted - YawRate) * Math.Min(1, dt / 0.11);
        var side = YawRate * Track / 2;
        var frontSlip = Speed > 1 ? frontBrake / 160_000 : 0;
        Wheels[0] = Math.Max(0, (Speed - side) * (1 - frontSlip));
        Wheels[1] = Math.Max(0, (Speed + side) * (1 - frontSlip));
        var rear = RearSpeed * TyreRadius;
        Wheels[2] = Math.Max(0, rear - side);
        Wheels[3] = Math.Max(0, rear + side);
    }
}
