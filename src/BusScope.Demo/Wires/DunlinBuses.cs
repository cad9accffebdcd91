using BusScope.Frames;

namespace BusScope.Demo.Wires;

/// <summary>The buses of the Dunlin.</summary>
internal static class DunlinBuses
{
    /// <summary>In the order in which the source lists them.</summary>
    public static IReadOnlyList<Bus> All { get; } =
    [
        new("chassis") { BitRate = 500_000, Description = "simulated Dunlin" },
        new("cabin") { BitRate = 125_000, Description = "simulated Dunlin" },
        new("race") { BitRate = 1_000_000, Description = "simulated Dunlin" },
    ];
}
