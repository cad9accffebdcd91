using BusScope.Demo.Car;

namespace BusScope.Demo.Stories;

/// <summary>What drivers do.</summary>
internal static class Scripts
{
    private const double Park = (double)Selector.Park;
    private const double Drive = (double)Selector.Drive;

    /// <summary>Key on, start, a drive of 45 s with bends, a short burst and two stops, key off.</summary>
    public static Script HealthyDrive { get; } = new()
    {
        Length = 60,
        LoopFrom = 6,
        LoopTo = 53,
        Key = new((0, 0), (0.5, 1), (0.9, 2), (2.6, 3), (4.2, 2), (57, 1), (58, 0)),
        Lever = new((0, Park), (5.6, Drive), (54, Park)),
        WantedSpeed = new((0, 0), (6, 0), (7, 12), (13, 52), (19, 50), (22, 28), (26, 30), (33, 88), (38, 92), (43, 45), (48, 0)),
        Brake = new((2, 0), (2.2, 0.25), (5.8, 0.25), (6.1, 0), (53.5, 0), (53.6, 0.25), (56, 0.25), (56.5, 0)),
        Steering = new((0, 0), (8, 0), (9, -20), (11, 10), (14, 0), (21, 5), (22.5, 110), (25.5, 115), (27, -6), (30, 0), (39, -12), (41, -35), (43, 0), (44, 14), (46, 0)),
        Indicator = new((0, 0), (6.2, 1), (9.2, 0), (20, 1), (26.5, 0), (45, 2), (52, 0)),
        Window = new((0, 0), (15, 2), (16.2, 0), (34, 1), (35.4, 0)),
        Button = new((0, 0), (10, 1), (10.15, 0), (10.4, 1), (10.6, 0), (21.4, 3), (21.6, 0), (36, 2), (36.2, 0)),
        Lock = new((0, 0), (0.2, 2), (0.4, 0), (12, 1), (12.3, 0)),
    };

    /// <summary>Key on, brake pressed, start.</summary>
    public static Script Start { get; } = new()
    {
        Length = 6,
        Key = new((0, 0), (0.4, 1), (0.7, 2), (1.9, 3), (4.4, 2)),
        Brake = new((1.3, 0), (1.5, 0.25)),
        Lock = new((0, 0), (0.1, 2), (0.3, 0)),
    };

    /// <summary>Key on for a look at the displays; the engine is not started.</summary>
    public static Script KeyOnly { get; } = new()
    {
        Length = 4,
        Key = new((0, 0), (0.3, 2)),
    };

    /// <summary>The engine runs; brake and full accelerator, brake released, full acceleration, braking to a stop.</summary>
    public static Script Launch { get; } = new()
    {
        Length = 22,
        Key = new((0, 1), (0.1, 2), (0.9, 3), (2.4, 2)),
        Lever = new((0, Park), (3.2, Drive)),
        Brake = new((0, 0.25), (3.4, 0.3), (5.2, 0.3), (5.26, 0), (15.5, 0), (15.9, 0.5), (20, 0.5), (20.5, 0.25)),
        Pedal = new((0, 0), (4, 0), (4.6, 0.85), (5.2, 0.85), (5.3, 1), (15.2, 1), (15.3, 0)),
        Steering = new((0, 0), (5.4, 0), (5.7, -7), (6.2, 5), (6.8, 0)),
    };
}
