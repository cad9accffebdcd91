using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;

namespace BusScope.Terminal.Screens;

/// <summary>One bus as the screen shows it: what was seen of it and what its adapter says.</summary>
/// <param name="Health">What was seen; nothing for a bus from which no frame came yet.</param>
/// <param name="Controller">What the adapter says, or null.</param>
/// <param name="BitRate">Bits per second of the arbitration phase, where known.</param>
/// <param name="DataBitRate">Bits per second of the data phase, where known.</param>
internal readonly record struct BusLine(BusHealth Health, ControllerStatus? Controller, long? BitRate, long? DataBitRate)
{
    /// <summary>Its name.</summary>
    public string Name => Health.Name;
}

/// <summary>The buses of a snapshot, and what their latest readings were. Used by the screen's thread alone.</summary>
internal sealed class BusLines
{
    private readonly List<BusLine> lines = [];
    private readonly Dictionary<string, BusTrace> traces = [];
    private long number = -1;

    /// <summary>Those of the report, then those of the source that nothing was seen of yet.</summary>
    public IReadOnlyList<BusLine> All => lines;

    /// <summary>Its readings, or null.</summary>
    public BusTrace? TraceOf(string bus) => traces.GetValueOrDefault(bus);

    /// <summary>Takes a snapshot.</summary>
    public void Update(SessionSnapshot snapshot)
    {
        lines.Clear();
        foreach (var bus in snapshot.Health.Buses)
        {
            lines.Add(LineOf(snapshot, bus));
        }

        foreach (var bus in snapshot.Buses)
        {
            if (!lines.Exists(line => line.Name == bus.Name))
            {
                lines.Add(LineOf(snapshot, new BusHealth(bus.Name)));
            }
        }

        if (number != snapshot.Number && snapshot.Health.Now is { } now)
        {
            number = snapshot.Number;
            foreach (var bus in snapshot.Health.Buses)
            {
                if (!traces.TryGetValue(bus.Name, out var trace))
                {
                    traces.Add(bus.Name, trace = new BusTrace());
                }

                trace.Take(bus, now);
            }
        }
    }

    private static BusLine LineOf(SessionSnapshot snapshot, BusHealth health)
    {
        for (var i = 0; i < snapshot.Buses.Count; i++)
        {
            if (snapshot.Buses[i] is var bus && bus.Name == health.Name)
            {
                var controller = i < snapshot.Controllers.Count ? snapshot.Controllers[i] : null;
                return new BusLine(health, controller, controller?.BitRate ?? bus.BitRate, controller?.DataBitRate ?? bus.DataBitRate);
            }
        }

        return new BusLine(health, null, null, null);
    }
}
