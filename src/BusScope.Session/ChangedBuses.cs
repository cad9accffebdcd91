using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// The buses of a source, each changed in the same way. A later section of a recording can say more of a bus: then the source states
/// another object, and it is changed anew. Used by one thread.
/// </summary>
/// <param name="change">The bus as it is to be, from the bus as it is stated and its index.</param>
internal sealed class ChangedBuses(Func<Bus, int, Bus> change)
{
    private readonly List<Bus> stated = [];
    private readonly List<Bus> changed = [];

    /// <summary>The buses as they are to be. Allocates only where something is stated anew.</summary>
    /// <param name="buses">As they are stated; none is ever taken away.</param>
    public IReadOnlyList<Bus> Of(IReadOnlyList<Bus> buses)
    {
        for (var i = 0; i < buses.Count; i++)
        {
            if (i == stated.Count)
            {
                stated.Add(buses[i]);
                changed.Add(change(buses[i], i));
            }
            else if (!ReferenceEquals(stated[i], buses[i]))
            {
                (stated[i], changed[i]) = (buses[i], change(buses[i], i));
            }
        }

        return changed;
    }
}
