namespace BusScope.Health.History;

/// <summary>What a bus carried in one stretch of time.</summary>
public struct LoadBin : ITimeBin<LoadBin>
{
    /// <summary>Data and remote frames.</summary>
    public uint Frames { get; private set; }

    /// <summary>For how many seconds the bus was busy, interframe space included.</summary>
    public double Busy { get; private set; }

    /// <summary>Counts a frame that took so many seconds.</summary>
    public void Add(double seconds)
    {
        Frames++;
        Busy += seconds;
    }

    /// <inheritdoc/>
    public void Absorb(in LoadBin later)
    {
        Frames += later.Frames;
        Busy += later.Busy;
    }
}
