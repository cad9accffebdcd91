namespace BusScope.Demo.Car;

/// <summary>In what condition the car is when the story begins.</summary>
internal sealed record Condition
{
    /// <summary>Whether the keyless entry knows the key.</summary>
    public bool KeyIsKnown { get; init; } = true;

    /// <summary>Whether the crank sensor is plugged in.</summary>
    public bool CrankSensorWorks { get; init; } = true;

    /// <summary>Whether the battery is old and half empty.</summary>
    public bool BatteryIsWeak { get; init; }

    /// <summary>Whether the body module's start request reaches the translator.</summary>
    public bool StartRequestArrives { get; init; } = true;

    /// <summary>Whether the translator's plug to the race bus is in.</summary>
    public bool RacePlugIsIn { get; init; } = true;

    /// <summary>Coolant at the beginning, degC.</summary>
    public double Coolant { get; init; } = 71;
}

/// <summary>The whole car, moved on in steps of a millisecond: driver, modules, starter chain, engine, gearbox, vehicle, battery.</summary>
internal sealed class Dunlin
{
    private const int StepsPerMillisecond = 4;
    private const double Step = 0.001 / StepsPerMillisecond;
    private const double StarterEnd = 520;
    private const double LaunchLimit = 4300;

    // From the key to the request on the chassis bus, and from there to the relay: each module must see a frame first, s.
    private const double BodyDelay = 0.075;
    private const double TranslatorDelay = 0.035;
    private const double RequestStale = 0.2;

    private readonly Script script;
    private readonly bool isEndless;
    private readonly Module translator;
    private readonly Module raceController;
    private readonly Module body;

    private double keyHeld;
    private double requestHeld;
    private double unheard;
    private bool believed;

    /// <summary>A car at rest with its key off.</summary>
    public Dunlin(Script script, Condition condition, bool isEndless)
    {
        this.script = script;
        this.isEndless = isEndless;
        Condition = condition;
        Battery = condition.BatteryIsWeak ? Battery.Weak() : Battery.Healthy();
        Engine = new Engine { SensorWorks = condition.CrankSensorWorks };
        Driver = new Driver(script);
        Modules = Module.All();
        translator = Modules.First(m => m.Name == "engine-controller");
        raceController = Modules.First(m => m.Name == "race-controller");
        body = Modules.First(m => m.Name == "body");
        Heat = new Heat(condition.Coolant);
    }

    /// <summary>In what condition it is.</summary>
    public Condition Condition { get; }

    /// <summary>Seconds since the story began.</summary>
    public double Time { get; private set; }

    /// <summary>Seconds in the script.</summary>
    public double ScriptTime => script.TimeIn(Time, isEndless);

    /// <summary>What the driver does.</summary>
    public Script Script => script;

    /// <summary>Its driver.</summary>
    public Driver Driver { get; }

    /// <summary>Its engine.</summary>
    public Engine Engine { get; }

    /// <summary>Its gearbox.</summary>
    public Gearbox Gearbox { get; } = new();

    /// <summary>Its body and tyres.</summary>
    public Vehicle Vehicle { get; } = new();

    /// <summary>Its battery.</summary>
    public Battery Battery { get; }

    /// <summary>Its temperatures and consumption.</summary>
    public Heat Heat { get; }

    /// <summary>Its control units.</summary>
    public IReadOnlyList<Module> Modules { get; }

    /// <summary>0 off, 1 accessory, 2 ignition, 3 start.</summary>
    public int Key { get; private set; }

    /// <summary>Where the lever stands.</summary>
    public Selector Lever { get; private set; }

    /// <summary>What the body module asks for.</summary>
    public bool StartRequested { get; private set; }

    /// <summary>Why it does not: 0 nothing, 1 key, 2 brake pedal, 3 gear.</summary>
    public int StartInhibit { get; private set; }

    /// <summary>Whether the translator closes the starter relay.</summary>
    public bool CrankRelay { get; private set; }

    /// <summary>How long it has been closed, s.</summary>
    public double CrankTime { get; private set; }

    /// <summary>Brake line pressure, bar.</summary>
    public double BrakePressure => Driver.Brake * 120;

    /// <summary>Of all wheels, N.</summary>
    public double BrakeForce => Driver.Brake * 14_500;

    /// <summary>Taken by everything but the starter, A.</summary>
    public double LoadCurrent => 4 + (Key >= 1 ? 6 : 0) + (Key >= 2 ? 18 : 0) + Math.Abs(Driver.Steering) / 60;

    // Standing on the brake with the accelerator down, the controller holds the engine at the speed for a launch.
    private bool LaunchLimited => Driver.Brake > 0.05 && Driver.Pedal > 0.3 && Vehicle.Speed < 0.5;

    /// <summary>Moves on by a millisecond.</summary>
    public void Advance()
    {
        Time += 0.001;
        var time = ScriptTime;
        Key = (int)script.Key.Held(time);
        Lever = (Selector)(int)script.Lever.Held(time);
        foreach (var module in Modules)
            module.Advance(Time, Key, Battery.Voltage);
        Driver.Advance(0.001, time, Vehicle.SpeedKmh, Engine.IsRunning && Lever == Selector.Drive && Key >= 2);
        RunStarterChain();
        for (var i = 0; i < StepsPerMillisecond; i++)
            Turn();
        Heat.Advance(0.001, this);
    }

    // Key, body, translator, relay: each link can break.
    private void RunStarterChain()
    {
        StartInhibit = Key < 3 ? 0
            : !Condition.KeyIsKnown ? 1
            : Driver.Brake < 0.05 ? 2
            : Lever is Selector.Drive or Selector.Reverse ? 3
            : 0;
        keyHeld = body.IsAwake && Key == 3 ? keyHeld + 0.001 : 0;
        StartRequested = keyHeld > BodyDelay && StartInhibit == 0;
        // While the body module is silent the translator believes its last word, until that is stale.
        unheard = body.IsAwake ? 0 : unheard + 0.001;
        believed = body.IsAwake ? StartRequested : believed && unheard < RequestStale;
        requestHeld = translator.IsAwake && believed ? requestHeld + 0.001 : 0;
        CrankRelay = requestHeld > TranslatorDelay && Condition.StartRequestArrives && Engine.MeasuredRpm < StarterEnd && !Engine.IsRunning;
        CrankTime = CrankRelay ? CrankTime + 0.001 : Key == 3 ? CrankTime : 0;
    }

    private void Turn()
    {
        var supplied = Key >= 2 && raceController.IsAwake;
        var load = Gearbox.ClutchTorque + Battery.AlternatorTorque(Engine.Speed) + (Heat.CompressorRuns ? 9 : 0);
        Engine.Advance(Step, supplied, Driver.Pedal, Gearbox.TorqueFactor, CrankRelay ? Battery.StarterTorque : 0, load, Gearbox.Engagement < 0.05, LaunchLimited ? LaunchLimit : Engine.Limit);
        Gearbox.Advance(Step, Lever, Engine.Speed, Vehicle.RearSpeed, Driver.Pedal, Driver.Brake, Vehicle.SpeedKmh);
        var ratio = Gearbox.Ratio;
        Vehicle.Advance(Step, Gearbox.ClutchTorque * ratio * 0.93, 0.02 * ratio * ratio, BrakeForce, Driver.Steering, Lever == Selector.Park);
        Battery.Advance(Step, CrankRelay, Engine.Speed, Engine.IsRunning, LoadCurrent);
    }
}
