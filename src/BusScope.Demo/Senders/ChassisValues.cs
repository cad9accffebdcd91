using BusScope.Demo.Car;
using static BusScope.Demo.Senders.Reading;

namespace BusScope.Demo.Senders;

/// <summary>The signals of the chassis bus.</summary>
internal static class ChassisValues
{
    private const double DegreesPerRadian = 180 / Math.PI;
    private const double RpmPerRadian = 30 / Math.PI;

    // Below this the wheel sensors see no teeth, km/h.
    private const double WheelCutOff = 1.5;

    // No two tyres are worn alike: what slip has to calibrate away.
    private static readonly double[] tyreFactors = [1.0000, 0.9982, 1.0041, 1.0029];
    private static readonly double[] tyrePressures = [231.4, 229.8, 242.6, 241.1];

    /// <summary>Name and value of each.</summary>
    public static IEnumerable<KeyValuePair<string, Func<Reading, double>>> All { get; } =
    [
        new("SteeringWheelAngle", r => r.Noisy(r.Car.Driver.Steering, 0.06, -540, 540)),
        new("SteeringWheelRate", r => Math.Clamp(r.Car.Driver.SteeringRate, -1200, 1200)),
        new("SteeringCalibrated", _ => 1),

        new("EngineSpeed", r => r.FromRace(r.Noisy(r.Car.Engine.MeasuredRpm, r.Car.Engine.MeasuredRpm > 0 ? 3 : 0, 0, 8000))),
        new("EngineTarget", r => r.FromRace(r.Car.Engine.Target)),
        new("EngineState", r => State(r.Car)),
        new("EngineLimited", r => Flag(r.Car.Engine.IsLimited)),

        new("EngineTorque", r => r.Noisy(r.Car.Engine.Torque, 1, -200, 600)),
        new("TorqueDemand", r => (r.Car.Driver.Pedal * (r.Car.Engine.Available + 30)) - 30),
        new("TorqueAvailable", r => r.FromRace(r.Car.Engine.Available)),

        new("AcceleratorPedal", r => r.Noisy(r.Car.Driver.Pedal * 100, r.Car.Driver.Pedal > 0 ? 0.2 : 0, 0, 100)),
        new("ThrottlePosition", r => r.FromRace(r.Noisy(r.Car.Engine.Throttle * 100, 0.08, 0, 100))),
        new("KickDown", r => Flag(r.Car.Driver.Pedal > 0.97)),

        new("TorqueLimitBrakes", _ => 700),
        new("TorqueLimitActive", _ => 0),

        new("TorqueLimitGearbox", r => r.Car.Gearbox.IsShifting ? 60 : 700),
        new("ShiftInProgress", r => Flag(r.Car.Gearbox.IsShifting)),
        new("StartAllowed", r => Flag(r.Car.Lever is Selector.Park or Selector.Neutral)),
        new("TargetGear", r => r.Car.Gearbox.TargetGear),

        new("WheelSpeedFrontLeft", r => Wheel(r, 0)),
        new("WheelSpeedFrontRight", r => Wheel(r, 1)),
        new("WheelSpeedRearLeft", r => Wheel(r, 2)),
        new("WheelSpeedRearRight", r => Wheel(r, 3)),

        new("YawRate", r => r.Noisy(r.Car.Vehicle.YawRate * DegreesPerRadian, 0.05, -120, 120)),
        new("AccelerationLong", r => r.Noisy(r.Car.Vehicle.Acceleration, 0.06, -15, 15)),
        new("AccelerationLat", r => r.Noisy(r.Car.Vehicle.LateralAcceleration, 0.06, -15, 15)),

        new("IgnitionOn", r => Flag(r.Car.Key >= 2)),
        new("StartRequest", r => Flag(r.Car.StartRequested)),
        new("StartInhibit", r => r.Car.StartInhibit),

        new("BrakePressure", r => r.Noisy(r.Car.BrakePressure, r.Car.BrakePressure > 1 ? 0.15 : 0, 0, 200)),
        new("BrakePedal", r => Flag(r.Car.Driver.Brake > 0.03)),
        new("AntilockOn", _ => 0),
        new("TractionOn", _ => 0),
        new("BrakeForce", r => r.Car.BrakeForce),

        new("VehicleSpeed", r => Speed(r.Car)),
        new("DistancePulses", r => Math.Floor(r.Car.Vehicle.Distance * 10) % 65536),

        new("Gear", r => r.Car.Gearbox.Gear),
        new("Selector", r => (double)r.Car.Lever),
        new("ClutchEngagement", r => r.Car.Gearbox.Engagement * 100),
        new("InputShaftSpeed", r => Math.Min(10000, r.Car.Vehicle.RearSpeed * r.Car.Gearbox.Ratio * RpmPerRadian)),
        new("OutputShaftSpeed", r => r.Noisy(r.Car.Vehicle.RearSpeed * Gearbox.FinalRatio * RpmPerRadian, r.Car.Vehicle.RearSpeed > 1 ? 1.5 : 0, 0, 10000)),

        new("CrankRelay", r => Flag(r.Car.CrankRelay)),
        new("StarterVoltage", r => r.Car.Battery.Voltage - (r.Car.CrankRelay ? 0.3 : 0)),
        new("EngineSynchronous", r => Flag(r.Car.Engine.IsSynchronous)),
        new("ImmobiliserAnswer", r => r.Car.Condition.KeyIsKnown ? 1 : 2),
        new("CrankTime", r => Math.Min(20, r.Car.CrankTime)),

        new("SteeringTorque", r => r.Noisy(r.Car.Driver.Steering / 40, 0.03, -15, 15)),
        new("AssistCurrent", r => r.Noisy(r.Car.Driver.Steering / 4, 0.2, -120, 120)),
        new("AssistLevel", r => r.Car.Engine.IsRunning ? Math.Max(35, 100 - (r.Car.Vehicle.SpeedKmh * 0.5)) : 0),

        new("CoolantTemperature", r => r.FromRace(r.Car.Heat.Coolant)),
        new("OilTemperature", r => r.FromRace(r.Car.Heat.Oil)),
        new("IntakeTemperature", r => r.FromRace(r.Car.Heat.Intake)),
        new("FuelTemperature", _ => 24),
        new("OilPressure", r => r.FromRace(r.Noisy(r.Car.Heat.OilPressure, r.Car.Heat.OilPressure > 5 ? 2 : 0, 0, 1000))),

        new("DetailPage", r => r.Count % 4),
        new("ManifoldPressure", r => Manifold(r)),
        new("AirFlow", r => Math.Min(400, r.Car.Heat.FuelRate * 0.745 / 3.6 * 14.7)),
        new("Lambda", r => LambdaOf(r)),
        new("FuelPressure", r => r.Noisy(r.Car.Key >= 2 ? 400 : 250, 2, 0, 1000)),
        new("FuelRate", r => r.Car.Heat.FuelRate),
        new("IgnitionAdvance", r => Advance(r)),
        new("KnockLevel", r => r.Noisy(0.3 + (r.Car.Engine.Rpm / 6000), 0.05, 0, 5)),
        new("ControllerSupply", r => r.Noisy(r.Car.Battery.Voltage - 0.2, 0.01, 5, 18)),
        new("AlternatorLoad", r => r.Car.Battery.AlternatorLoad * 100),

        new("GearboxTemperature", r => r.Car.Heat.GearboxOil),
        new("ClutchTorque", r => r.Car.Gearbox.ClutchTorque),
        new("ShiftCount", r => r.Car.Gearbox.ShiftCount),

        new("AirbagLamp", r => Flag(r.Car.ScriptTime < 4 && r.Count < 30)),
        new("CrashDetected", _ => 0),
        new("BeltDriver", r => Flag(r.Car.Key >= 2)),
        new("BeltPassenger", _ => 0),

        new("ParkBrake", r => Flag(r.Car.Lever == Selector.Park)),
        new("ParkBrakeForce", r => r.Car.Lever == Selector.Park ? 84 : 0),

        new("TyreWheel", r => r.Count % 4),
        new("TyrePressureFrontLeft", r => r.Noisy(tyrePressures[0], 0.1, 150, 350)),
        new("TyrePressureFrontRight", r => r.Noisy(tyrePressures[1], 0.1, 150, 350)),
        new("TyrePressureRearLeft", r => r.Noisy(tyrePressures[2], 0.1, 150, 350)),
        new("TyrePressureRearRight", r => r.Noisy(tyrePressures[3], 0.1, 150, 350)),
        new("TyreTemperature", r => 23 + (r.Count % 4)),

        new("EngineLamp", r => Flag(!r.Car.Engine.IsRunning)),
        new("EngineFaultCount", _ => 0),
        new("LimpHome", _ => 0),
    ];

    /// <summary>Manifold pressure in kPa.</summary>
    public static double Manifold(Reading r)
    {
        var pumped = r.Car.Engine.Rpm / 900;
        return r.Noisy(101.3 - (70 * Math.Min(1, pumped) * Math.Exp(-r.Car.Engine.Throttle * 9 / Math.Max(0.5, pumped * 0.7))), 0.3, 10, 300);
    }

    /// <summary>Air-fuel ratio over the stoichiometric one.</summary>
    public static double LambdaOf(Reading r) =>
        r.Noisy(r.Car.Heat.FuelRate <= 0 ? 1.95 : r.Car.Driver.Pedal > 0.8 ? 0.88 : 1, 0.006, 0.5, 2);

    /// <summary>Ignition advance in degrees of crankshaft before top dead centre.</summary>
    public static double Advance(Reading r) =>
        r.Car.Engine.IsRunning ? 8 + Math.Min(24, r.Car.Engine.Rpm / 200) - (r.Car.Driver.Pedal * 6) : 5;

    private static double State(Dunlin car) =>
        car.CrankRelay ? 1 : car.Engine.IsRunning ? 2 : car.Engine.MeasuredRpm > 0 ? 3 : 0;

    private static double Wheel(Reading r, int wheel)
    {
        var speed = r.Car.Vehicle.Wheels[wheel] * 3.6 * tyreFactors[wheel];
        return speed < WheelCutOff ? 0 : r.Noisy(speed, 0.02, 0, 300);
    }

    // The brake module's own reckoning: the mean of the wheels that are not driven.
    private static double Speed(Dunlin car)
    {
        var speed = (car.Vehicle.Wheels[0] + car.Vehicle.Wheels[1]) * 1.8;
        return speed < WheelCutOff ? 0 : speed;
    }
}
