using BusScope.Demo.Car;
using BusScope.Signals.Definitions;

namespace BusScope.Demo.Senders;

/// <summary>A tester that asks for one parameter after the other, and the answers (SAE J1979, service 01).</summary>
internal static class DiagnosisValues
{
    private const double AskEvery = 0.04;
    private const double FirstQuestion = 0.010;
    private const double FirstAnswer = 0.021;

    // In the order of asking, with the data bytes of the answer.
    private static readonly (int Pid, int Bytes)[] asked =
    [
        (0x0C, 2), (0x0D, 1), (0x11, 1), (0x0B, 1), (0x0C, 2), (0x0D, 1), (0x0E, 1), (0x10, 2), (0x04, 1), (0x0C, 2), (0x0D, 1), (0x05, 1), (0x0F, 1),
        (0x06, 1), (0x07, 1), (0x1F, 2), (0x2F, 1), (0x42, 2), (0x46, 1), (0x52, 1), (0x5C, 1), (0x5E, 2),
    ];

    /// <summary>Name and value of each.</summary>
    public static IEnumerable<KeyValuePair<string, Func<Reading, double>>> All { get; } =
    [
        new("RequestLength", _ => 2),
        new("RequestService", _ => 1),
        new("RequestPid", r => Asked(r).Pid),
        new("AnswerLength", r => 2 + Asked(r).Bytes),
        new("AnswerService", _ => 0x41),
        new("Pid", r => Asked(r).Pid),
        new("EngineLoad", r => Math.Clamp(r.Car.Engine.Torque / Math.Max(1, r.Car.Engine.Available) * 100, 0, 100)),
        new("CoolantTemperature", r => r.Car.Heat.Coolant),
        new("ShortFuelTrim1", r => r.Noisy(0, 1.5, -20, 20)),
        new("LongFuelTrim1", _ => 2.34375),
        new("ManifoldPressure", ChassisValues.Manifold),
        new("EngineSpeed", r => r.Car.Engine.MeasuredRpm),
        new("VehicleSpeed", r => r.Car.Vehicle.SpeedKmh),
        new("IgnitionAdvance", ChassisValues.Advance),
        new("IntakeTemperature", r => r.Car.Heat.Intake),
        new("AirFlow", r => r.Car.Heat.FuelRate * 0.745 / 3.6 * 14.7),
        new("ThrottlePosition", r => r.Car.Engine.Throttle * 100),
        new("RunTime", r => Math.Floor(r.Car.Time)),
        new("FuelLevel", r => r.Car.Heat.FuelLevel),
        new("ControllerSupply", r => r.Noisy(r.Car.Battery.Voltage - 0.2, 0.01, 5, 18)),
        new("AmbientTemperature", _ => Heat.Ambient),
        new("EthanolPercent", _ => 9.8),
        new("OilTemperature", r => r.Car.Heat.Oil),
        new("FuelRate", r => r.Car.Heat.FuelRate),
        new("NegativeService", _ => 0),
        new("NegativeReason", _ => 0),
    ];

    /// <summary>Question and answer by one clock, the answer 11 ms behind.</summary>
    public static Sending Send(MessageDefinition message) =>
        new(((MessageKey.Identifier)message.Key).Id, "body", AskEvery)
        {
            FirstOffset = message.Name == "ObdRequest" ? FirstQuestion : FirstAnswer,
        };

    private static (int Pid, int Bytes) Asked(Reading r) => asked[r.Count % asked.Length];
}
