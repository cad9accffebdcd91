namespace BusScope.Demo.Car;

/// <summary>Temperatures and fuel: slow things, each a first-order lag. Degrees Celsius, litres.</summary>
internal sealed class Heat(double coolant)
{
    /// <summary>Outside.</summary>
    public const double Ambient = 16.5;

    private const double TankLitres = 52;

    /// <summary>Coolant.</summary>
    public double Coolant { get; private set; } = coolant;

    /// <summary>Engine oil.</summary>
    public double Oil { get; private set; } = coolant - 6;

    /// <summary>Intake air.</summary>
    public double Intake { get; private set; } = 27;

    /// <summary>Gearbox oil.</summary>
    public double GearboxOil { get; private set; } = 48;

    /// <summary>Cabin air.</summary>
    public double Cabin { get; private set; } = 24.5;

    /// <summary>Whether the compressor is engaged.</summary>
    public bool CompressorRuns { get; private set; }

    /// <summary>Used since the key was turned, ml.</summary>
    public double FuelUsed { get; private set; }

    /// <summary>At the moment, l/h.</summary>
    public double FuelRate { get; private set; }

    /// <summary>In the tank, per cent.</summary>
    public double FuelLevel => (32.4 - (FuelUsed / 1000)) / TankLitres * 100;

    /// <summary>Oil pressure, kPa.</summary>
    public double OilPressure { get; private set; }

    /// <summary>Moves on by <paramref name="dt"/> seconds.</summary>
    public void Advance(double dt, Dunlin car)
    {
        var power = Math.Max(0, car.Engine.Torque) * car.Engine.Speed / 1000;
        var fires = car.Engine.IsSynchronous && car.Engine.Rpm > 300;
        // 0.27 kg/kWh at 0.745 kg/l, and what friction takes at idle.
        FuelRate = fires ? (power * 0.362) + (car.Engine.Rpm / 1000 * 0.9) : 0;
        FuelUsed += FuelRate / 3.6 * dt;
        Coolant += (fires ? (92 - Coolant) * (0.004 + (power * 0.0003)) : (Ambient - Coolant) * 0.0002) * dt;
        Oil += (fires ? (96 - Oil) * (0.003 + (power * 0.0003)) : (Ambient - Oil) * 0.0002) * dt;
        Intake += (Ambient + 10 + (6 / (1 + car.Vehicle.Speed)) - Intake) * 0.05 * dt;
        GearboxOil += (78 - GearboxOil) * 0.002 * dt;
        CompressorRuns = car.Engine.IsRunning && car.Engine.Rpm > 700 && car.Driver.Pedal < 0.7 && Cabin > 21;
        Cabin += (CompressorRuns ? (19 - Cabin) * 0.01 : (26 - Cabin) * 0.002) * dt;
        var wanted = 45 + Math.Min(520, car.Engine.Rpm * 0.14 * (1.3 - (Oil / 300)));
        OilPressure += ((car.Engine.Rpm > 60 ? wanted : 0) - OilPressure) * Math.Min(1, dt / 0.25);
    }
}
