namespace BusScope.Demo.Car;

/// <summary>What the driver does, over the time of the story in s.</summary>
internal sealed record Script
{
    /// <summary>When the story ends.</summary>
    public required double Length { get; init; }

    /// <summary>From here to <see cref="LoopTo"/> an endless drive repeats; the car stands with its engine running at both.</summary>
    public double LoopFrom { get; init; }

    /// <summary>Where an endless drive jumps back to <see cref="LoopFrom"/>; 0 where the story cannot be endless.</summary>
    public double LoopTo { get; init; }

    /// <summary>Key: 0 off, 1 accessory, 2 ignition, 3 start.</summary>
    public required Trace Key { get; init; }

    /// <summary>Selector lever, as numbered by <see cref="Selector"/>.</summary>
    public Trace Lever { get; init; } = Trace.Zero;

    /// <summary>The speed the driver wants, km/h; null where the pedals follow their traces.</summary>
    public Trace? WantedSpeed { get; init; }

    /// <summary>Accelerator, 0 to 1, where no speed is wanted.</summary>
    public Trace Pedal { get; init; } = Trace.Zero;

    /// <summary>Brake, 0 to 1, where no speed is wanted; otherwise in addition.</summary>
    public Trace Brake { get; init; } = Trace.Zero;

    /// <summary>Steering wheel in degrees, positive to the left.</summary>
    public Trace Steering { get; init; } = Trace.Zero;

    /// <summary>Indicator: 0 off, 1 left, 2 right.</summary>
    public Trace Indicator { get; init; } = Trace.Zero;

    /// <summary>Window switch, driver's side: 0 none, 1 up, 2 down.</summary>
    public Trace Window { get; init; } = Trace.Zero;

    /// <summary>Button on the steering wheel: 0 none, 1 volume up, 2 volume down, 3 menu.</summary>
    public Trace Button { get; init; } = Trace.Zero;

    /// <summary>Locks: 0 none, 1 lock, 2 unlock.</summary>
    public Trace Lock { get; init; } = Trace.Zero;

    /// <summary>The time in the script for a time since the beginning.</summary>
    public double TimeIn(double time, bool isEndless) =>
        isEndless && LoopTo > 0 && time > LoopTo ? LoopFrom + ((time - LoopFrom) % (LoopTo - LoopFrom)) : time;
}
