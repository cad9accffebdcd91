namespace BusScope.Demo.Car;

/// <summary>The supply side of a control unit: it wakes with the key, boots, runs on after the key, and resets when the supply sags.</summary>
/// <param name="Name">As in the definition files.</param>
/// <param name="WakesAt">The key position that wakes it; 0 for one that never sleeps.</param>
/// <param name="BootTime">From waking to its first frame, s.</param>
/// <param name="AfterRun">It stays awake for so long after the key went back, s.</param>
/// <param name="ResetBelow">It resets below this supply, V.</param>
/// <param name="HoldUp">Its capacitors carry it for so long, s.</param>
/// <param name="ClockError">How far its oscillator is off, parts per million.</param>
internal sealed record Module(string Name, int WakesAt, double BootTime, double AfterRun, double ResetBelow, double HoldUp, double ClockError)
{
    // After a reset for want of supply a module checks its memory before it speaks again, s.
    private const double MemoryCheck = 0.5;

    private double wantedUntil = double.NegativeInfinity;
    private double readyAt;
    private double sagging;

    /// <summary>Whether it sends.</summary>
    public bool IsAwake { get; private set; }

    /// <summary>Whether it fell over just now because the supply sagged.</summary>
    public bool HasJustReset { get; private set; }

    /// <summary>Moves on to <paramref name="time"/>.</summary>
    public void Advance(double time, int key, double supply)
    {
        HasJustReset = false;
        if (key >= WakesAt)
        {
            if (time > wantedUntil)
                readyAt = WakesAt == 0 && time <= 0 ? 0 : time + BootTime;
            wantedUntil = time + AfterRun;
        }

        sagging = supply < ResetBelow ? sagging + 0.001 : 0;
        if (sagging > HoldUp)
        {
            HasJustReset = IsAwake;
            readyAt = time + BootTime + MemoryCheck;
        }

        IsAwake = time >= readyAt && time <= wantedUntil;
    }

    /// <summary>The modules of the Dunlin, new, before time begins.</summary>
    public static IReadOnlyList<Module> All() =>
    [
        new("engine-controller", 2, 0.120, 0.9, 6.8, 0.13, 31),
        new("transmission", 2, 0.145, 0.8, 6.5, 0.03, -24),
        new("brake-control", 2, 0.165, 0.7, 6.5, 0.05, 12),
        new("steering", 2, 0.130, 0.7, 7.2, 0.02, -41),
        new("airbag", 2, 0.190, 0.8, 6.0, 0.09, 7),
        new("cluster", 2, 0.175, 0.9, 6.6, 0.06, -15),
        new("body", 0, 0.180, 1, 6.2, 0.07, 22),
        new("climate", 2, 0.185, 0.7, 7.5, 0.02, 48),
        new("keyless-entry", 0, 0.150, 1, 5.8, 0.06, -33),
        new("door-left", 0, 0.120, 1, 6.4, 0.03, 18),
        new("door-right", 0, 0.120, 1, 6.4, 0.04, -9),
        new("race-controller", 2, 0.090, 0.9, 6.5, 0.08, -28),
    ];
}
