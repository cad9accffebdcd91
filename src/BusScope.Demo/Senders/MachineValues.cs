using BusScope.Frames;
using BusScope.Signals.Definitions;
using static BusScope.Demo.Senders.Reading;

namespace BusScope.Demo.Senders;

/// <summary>The signals of a machine that speaks SAE J1939, moved by the same physics.</summary>
internal static class MachineValues
{
    private const string Engine = "engine-controller";
    private const string Brakes = "brake-control";
    private const string Cab = "body";

    /// <summary>Name and value of each.</summary>
    public static IEnumerable<KeyValuePair<string, Func<Reading, double>>> All { get; } =
    [
        new("DriverDemandTorque", r => Math.Round(r.Car.Driver.Pedal * 100)),
        new("ActualTorque", r => Math.Clamp(r.Car.Engine.Torque / 3.8, -125, 125)),
        new("EngineSpeed", r => r.Noisy(r.Car.Engine.MeasuredRpm, r.Car.Engine.MeasuredRpm > 0 ? 2 : 0, 0, 8000)),
        new("AcceleratorPedal", r => r.Car.Driver.Pedal * 100),
        new("EngineLoad", r => Math.Clamp(r.Car.Engine.Torque / Math.Max(1, r.Car.Engine.Available) * 100, 0, 125)),
        new("CoolantTemperature", r => r.Car.Heat.Coolant),
        new("FuelTemperature", _ => NotAvailable),
        new("OilTemperature", r => r.Car.Heat.Oil),
        new("FuelPressure", r => r.Noisy(624, 4, 0, 1000)),
        new("OilLevel", _ => NotAvailable),
        new("OilPressure", r => r.Noisy(r.Car.Heat.OilPressure, r.Car.Heat.OilPressure > 5 ? 3 : 0, 0, 1000)),
        new("CoolantPressure", r => r.Noisy(60, 1, 0, 500)),
        new("CoolantLevel", _ => 96),
        new("BoostPressure", r => Math.Max(0, r.Car.Driver.Pedal * 90)),
        new("IntakeTemperature", r => r.Car.Heat.Intake),
        new("FuelRate", r => r.Car.Heat.FuelRate),
        new("EngineHours", r => 1502.35 + (r.Car.Time / 3600)),
        new("BatteryVoltage", r => r.Noisy(r.Car.Battery.Voltage, 0.02, 0, 16)),
        new("ParkingBrake", r => Flag(r.Car.Lever == Car.Selector.Park)),
        new("VehicleSpeed", r => r.Car.Vehicle.SpeedKmh),
        new("FrontAxleSpeed", r => FrontAxle(r)),
        new("RelativeFrontLeft", r => (r.Car.Vehicle.Wheels[0] * 3.6) - FrontAxle(r)),
        new("RelativeFrontRight", r => (r.Car.Vehicle.Wheels[1] * 3.6) - FrontAxle(r)),
        new("RelativeRearLeft", r => Math.Clamp((r.Car.Vehicle.Wheels[2] * 3.6) - FrontAxle(r), -7.8, 7.8)),
        new("RelativeRearRight", r => Math.Clamp((r.Car.Vehicle.Wheels[3] * 3.6) - FrontAxle(r), -7.8, 7.8)),
        new("RelativeRear2Left", _ => NotAvailable),
        new("RelativeRear2Right", _ => NotAvailable),
        new("MalfunctionLamp", _ => 0),
        new("RedStopLamp", _ => 0),
        new("AmberLamp", _ => 1),
        new("ProtectLamp", _ => 0),
        // Coolant temperature, voltage above normal, five times: SPN 110, failure mode 3.
        new("FaultSpnLow", _ => 110),
        new("FaultSpnHigh", _ => 0),
        new("FaultMode", _ => 3),
        new("FaultCount", _ => 5),
        new("FaultConversion", _ => 0),
    ];

    /// <summary>Priority and source address of each message: by the standard's table where known, from memory.</summary>
    public static Sending Send(MessageDefinition message)
    {
        var group = ((MessageKey.ParameterGroup)message.Key).Pgn;
        var (priority, source, module) = message.Name switch
        {
            "ElectronicEngineController1" or "ElectronicEngineController2" => (3u, 0x00u, Engine),
            "WheelSpeeds" => (6u, 0x0Bu, Brakes),
            "VehicleElectricalPower1" or "CruiseControlVehicleSpeed" => (6u, 0x21u, Cab),
            _ => (6u, 0x00u, Engine),
        };
        // Priority in bits 26-28, parameter group in bits 8-25, source address in bits 0-7 (SAE J1939-21).
        var id = new CanId((priority << 26) | ((uint)group << 8) | source, isExtended: true);
        return new Sending(id, module, message.Timing.Every?.Seconds ?? 1);
    }

    private static double FrontAxle(Reading r) => (r.Car.Vehicle.Wheels[0] + r.Car.Vehicle.Wheels[1]) * 1.8;
}
