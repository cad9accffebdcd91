using BusScope.Demo.Car;
using static BusScope.Demo.Senders.Reading;

namespace BusScope.Demo.Senders;

/// <summary>The signals of the cabin bus.</summary>
internal static class CabinValues
{
    /// <summary>Name and value of each.</summary>
    public static IEnumerable<KeyValuePair<string, Func<Reading, double>>> All { get; } =
    [
        new("KeyPosition", r => r.Car.Key),
        new("KeyRecognised", r => r.Car.Key == 0 ? 2 : Flag(r.Car.Condition.KeyIsKnown)),
        new("Immobiliser", r => Flag(r.Car.Key > 0 && r.Car.Condition.KeyIsKnown)),
        new("KeyBattery", _ => 2.94),

        new("DisplayEngineSpeed", r => r.FromRace(r.Car.Engine.MeasuredRpm)),
        new("DisplayOilTemp", r => r.FromRace(r.Car.Heat.Oil)),
        new("DisplayOilPressure", r => r.FromRace(r.Car.Heat.OilPressure)),
        new("DisplayEngineLamp", r => Flag(!r.Car.Engine.IsRunning)),
        new("DisplayEngineRuns", r => Flag(r.Car.Engine.IsRunning)),

        new("CoolingTemperature", r => r.FromRace(r.Car.Heat.Coolant)),
        new("CompressorPermission", r => Flag(r.Car.Engine.IsRunning && r.Car.Driver.Pedal < 0.7)),
        new("FanSpeed", r => Math.Clamp((r.Car.Heat.Coolant - 60) * 1.6, 0, 100)),
        new("CoolingEngineSpeed", r => r.FromRace(r.Car.Engine.MeasuredRpm)),

        new("FuelUsed", r => r.Car.Heat.FuelUsed),
        new("FuelConsumption", r => r.Car.Heat.FuelRate),

        new("DisplaySpeed", r => r.Car.Vehicle.SpeedKmh < 1.5 ? 0 : r.Car.Vehicle.SpeedKmh),
        new("DisplaySelector", r => (double)r.Car.Lever),
        new("DisplayGear", r => r.Car.Gearbox.Gear),

        new("CompressorRequest", r => Flag(r.Car.Heat.Cabin > 21)),
        new("CompressorTorque", r => r.Car.Heat.CompressorRuns ? 9 : 0),
        new("IdleUpRequest", r => r.Car.Heat.CompressorRuns ? 50 : 0),

        new("CabinTemperature", r => r.Noisy(r.Car.Heat.Cabin, 0.03, -40, 85)),
        new("SetTemperature", _ => 21),
        new("BlowerSpeed", r => Math.Clamp((r.Car.Heat.Cabin - 20) * 18, 15, 100)),
        new("RefrigerantPressure", r => r.Noisy(r.Car.Heat.CompressorRuns ? 1240 : 690, 5, 0, 3500)),

        new("AmbientTemperature", r => r.Noisy(Heat.Ambient, 0.03, -40, 85)),
        new("SunLoad", r => r.Noisy(540, 12, 0, 1200)),

        new("HeadLights", r => r.Car.Key >= 2 ? 2 : 0),
        new("IndicatorLeft", r => Flag(r.Car.Script.Indicator.Held(r.Car.ScriptTime) == 1 && Blinks(r.Car))),
        new("IndicatorRight", r => Flag(r.Car.Script.Indicator.Held(r.Car.ScriptTime) == 2 && Blinks(r.Car))),
        new("BrakeLights", r => Flag(r.Car.Driver.Brake > 0.03)),
        new("Dimming", _ => 80),

        new("DoorLeft", r => Flag(r.Car.ScriptTime < 0.25)),
        new("DoorLeftLocked", r => Flag(r.Car.Vehicle.SpeedKmh > 15)),
        new("WindowLeft", r => WindowAt(r.Car)),
        new("WindowLeftCurrent", r => WindowMoves(r.Car) ? r.Noisy(6.5, 0.4, 0, 20) : 0),
        new("DoorRight", _ => 0),
        new("DoorRightLocked", r => Flag(r.Car.Vehicle.SpeedKmh > 15)),
        new("WindowRight", _ => 0),
        new("WindowRightCurrent", _ => 0),

        new("WindowCommandLeft", r => r.Car.Script.Window.Held(r.Car.ScriptTime)),
        new("WindowCommandRight", _ => 0),
        new("ChildLock", _ => 0),

        new("LockCommand", r => r.Car.Script.Lock.Held(r.Car.ScriptTime)),
        new("LockReason", r => r.Car.Script.Lock.Held(r.Car.ScriptTime) switch { 1 => 3, 2 => 2, _ => 0 }),

        new("Odometer", r => 84_213.7 + (r.Car.Vehicle.Distance / 1000)),
        new("FuelLevel", r => r.Noisy(r.Car.Heat.FuelLevel, 0.05, 0, 100)),
        new("NeedleSpeed", r => r.Car.Vehicle.SpeedKmh * 1.03),
        new("ClusterLanguage", _ => 0),

        new("BatteryVoltage", r => r.Noisy(r.Car.Battery.Voltage, 0.012, 5, 16)),
        new("BatteryCurrent", r => r.Noisy(r.Car.Battery.Current, 0.3, -1000, 300)),

        new("ButtonPressed", r => r.Car.Script.Button.Held(r.Car.ScriptTime)),
        new("ButtonCount", r => (r.Count + 1) % 256),

        new("ClockYear", _ => 2026),
        new("ClockMonth", _ => 5),
        new("ClockDay", _ => 9),
        new("ClockHour", r => 8 + (Seconds(r.Car) / 3600 % 16)),
        new("ClockMinute", r => Seconds(r.Car) / 60 % 60),
        new("ClockSecond", r => Seconds(r.Car) % 60),
    ];

    private static long Seconds(Dunlin car) => (long)car.Time;

    // 85 flashes a minute.
    private static bool Blinks(Dunlin car) => car.ScriptTime % 0.706 < 0.353;

    private static bool WindowMoves(Dunlin car) => car.Script.Window.Held(car.ScriptTime) != 0 && car.Key >= 2;

    // The driver's window opens by a third in every second that the switch is held down.
    private static double WindowAt(Dunlin car)
    {
        var open = 0.0;
        for (var at = 0.0; at < car.ScriptTime; at += 0.1)
        {
            open += car.Script.Window.Held(at) switch { 1 => -3.3, 2 => 3.3, _ => 0 };
            open = Math.Clamp(open, 0, 100);
        }

        return open;
    }
}
