using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>Follows one field that is being defined, frame by frame. Used by the session's thread; costs nothing where no field is asked for.</summary>
public sealed class FieldWatch
{
    private MessageRequest? request;
    private MessagePlan? plan;
    private double smallest;
    private double largest;
    private long frames;

    /// <summary>Follows the field of a request from now on, and says what it said so far; one that is followed already goes on.</summary>
    /// <param name="wanted">The request, or null for none.</param>
    public FieldRange? Follow(MessageRequest? wanted)
    {
        if (wanted?.Field is not { } field)
        {
            (request, plan) = (null, null);
            return null;
        }

        if (wanted != request)
        {
            request = wanted;
            plan = new MessagePlan(new MessageDefinition { Name = "field", Key = new MessageKey.Identifier(wanted.Id), Signals = [field] });
            (smallest, largest, frames) = (double.NaN, double.NaN, 0);
        }

        return frames == 0 ? null : new FieldRange(smallest, largest, frames);
    }

    /// <summary>Takes in a batch.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    public void Accept(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        ArgumentNullException.ThrowIfNull(buses);
        if (request is not { } followed)
        {
            return;
        }

        foreach (ref readonly var frame in batch.Frames)
        {
            if (frame.CarriesData && frame.Id == followed.Id && buses[frame.Bus].Name == followed.Bus)
            {
                Take(plan!.Read(0, frame.Data));
            }
        }
    }

    private void Take(in Sample sample)
    {
        if (sample.Quality == SampleQuality.Ok)
        {
            frames++;
            smallest = double.IsNaN(smallest) ? sample.Value : Math.Min(smallest, sample.Value);
            largest = double.IsNaN(largest) ? sample.Value : Math.Max(largest, sample.Value);
        }
    }
}
