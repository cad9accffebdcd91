using BusScope.Demo.Car;
using static BusScope.Demo.Senders.Reading;

namespace BusScope.Demo.Senders;

/// <summary>The signals of the race bus.</summary>
internal static class RaceValues
{
    /// <summary>Name and value of each.</summary>
    public static IEnumerable<KeyValuePair<string, Func<Reading, double>>> All { get; } =
    [
        new("RaceSpeed", r => r.Noisy(r.Car.Engine.MeasuredRpm, r.Car.Engine.MeasuredRpm > 0 ? 3 : 0, 0, 9000)),
        new("RaceManifold", ChassisValues.Manifold),
        new("RaceThrottle", r => r.Noisy(r.Car.Engine.Throttle * 100, 0.08, 0, 100)),
        new("RacePedal", r => r.Car.Driver.Pedal * 100),

        new("RaceTorque", r => r.Noisy(r.Car.Engine.Torque, 1, -300, 800)),
        new("RaceAdvance", ChassisValues.Advance),
        new("RaceLambda", ChassisValues.LambdaOf),

        new("RaceCoolant", r => r.Noisy(r.Car.Heat.Coolant, 0.05, -40, 150)),
        new("RaceOil", r => r.Noisy(r.Car.Heat.Oil, 0.05, -40, 170)),
        new("RaceIntake", r => r.Noisy(r.Car.Heat.Intake, 0.05, -40, 120)),
        new("RaceOilPressure", r => r.Noisy(r.Car.Heat.OilPressure, r.Car.Heat.OilPressure > 5 ? 2 : 0, 0, 1000)),

        new("RaceDrivenSpeed", r => r.Noisy(r.Car.Vehicle.RearSpeed * Vehicle.TyreRadius * 3.6, r.Car.Vehicle.RearSpeed > 0.1 ? 0.03 : 0, 0, 350)),
        new("RaceFreeSpeed", r => r.Noisy(r.Car.Vehicle.SpeedKmh, r.Car.Vehicle.Speed > 0.1 ? 0.03 : 0, 0, 350)),
        new("RaceSlip", r => Math.Clamp(Slip(r.Car) * 100, -100, 400)),
        new("RaceCut", r => r.Car.Engine.IsLimited ? 100 : 0),

        new("RaceSync", r => Flag(r.Car.Engine.IsSynchronous)),
        new("RaceFuelOn", r => Flag(r.Car.Engine.IsSynchronous && !r.Car.Engine.IsLimited)),
        new("RaceLimiter", r => Flag(r.Car.Engine.IsLimited)),
        new("RaceSupply", r => r.Noisy(r.Car.Battery.Voltage - 0.15, 0.01, 5, 18)),
        new("RaceErrors", _ => 0),

        new("RaceStart", r => Flag(r.Car.StartRequested && r.Car.Condition.StartRequestArrives)),
        new("RaceTorqueLimit", r => r.Car.Gearbox.IsShifting ? 60 : 700),
        new("RaceIdleUp", r => r.Car.Heat.CompressorRuns ? 50 : 0),
    ];

    // SAE J670: (ω Re − V) / V; below walking pace it says nothing.
    private static double Slip(Dunlin car) =>
        car.Vehicle.Speed < 0.8 ? 0 : ((car.Vehicle.RearSpeed * Vehicle.TyreRadius) - car.Vehicle.Speed) / car.Vehicle.Speed;
}
