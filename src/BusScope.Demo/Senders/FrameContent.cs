using System.Buffers.Binary;
using BusScope.Demo.Car;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Demo.Senders;

/// <summary>Fills the frames of one message: signals from the car, then counter and checksum, then what the story spoils.</summary>
internal sealed class FrameContent
{
    private readonly MessagePlan plan;
    private readonly Func<Reading, double>[] values;
    private readonly SeededRandom noise;
    private readonly byte padding;
    private readonly bool counterStands;
    private readonly bool checksumIsWrong;
    private readonly byte sentLength;
    private readonly byte[] payload;
    private long count;

    /// <summary>Nothing filled yet.</summary>
    public FrameContent(MessagePlan plan, Network network, IReadOnlyList<MessageFault> faults, SeededRandom noise)
    {
        this.plan = plan;
        this.noise = noise;
        padding = network.Padding;
        payload = new byte[plan.Definition.Length ?? Payload.ClassicCapacity];
        values = [.. plan.Definition.Signals.Select(s => Value(s, network, faults))];
        counterStands = faults.OfType<MessageFault.CounterFrozen>().Any();
        checksumIsWrong = faults.OfType<MessageFault.ChecksumWrong>().Any();
        sentLength = (byte)(faults.OfType<MessageFault.WrongLength>().FirstOrDefault()?.Length ?? payload.Length);
    }

    /// <summary>What the next frame would carry, counter and checksum aside: to see whether something changed.</summary>
    public ulong Preview(Dunlin car)
    {
        Fill(new Reading(car, 0, noise));
        return AsNumber();
    }

    /// <summary>The next frame's length and payload.</summary>
    public (byte Length, ulong Payload) Next(Dunlin car)
    {
        Fill(new Reading(car, count, noise));
        plan.Protect(counterStands ? 0 : count, payload);
        if (checksumIsWrong && plan.Definition.Checksum is { } checksum)
            payload[checksum.Field.FirstByte] ^= 0x3C;
        count++;
        return (sentLength, AsNumber());
    }

    private ulong AsNumber()
    {
        Span<byte> eight = stackalloc byte[Payload.ClassicCapacity];
        payload.CopyTo(eight);
        return BinaryPrimitives.ReadUInt64LittleEndian(eight);
    }

    // Selectors stand before what they select in the definitions, so they are already in the payload when they are asked for.
    private void Fill(Reading reading)
    {
        payload.AsSpan().Fill(padding);
        for (var i = 0; i < values.Length; i++)
        {
            var signal = plan.Definition.Signals[i];
            if (signal.Encoding == SignalEncoding.Text)
                PayloadWriter.Write(payload, signal.Field, SignalValues.Texts[signal.Name]);
            else if (IsSelected(signal))
                Put(i, signal, values[i](reading));
        }
    }

    private void Put(int index, SignalDefinition signal, double value)
    {
        if (double.IsNaN(value) && signal.NotAvailable.Count > 0)
            PayloadWriter.Write(payload, signal.Field, signal.NotAvailable[^1].To);
        else
            plan.Write(index, double.IsNaN(value) ? 0 : value, payload);
    }

    private bool IsSelected(SignalDefinition signal)
    {
        foreach (var condition in signal.When)
        {
            var raw = SelectorRaw(condition.Selector);
            var holds = false;
            foreach (var range in condition.Values)
                holds |= range.Contains(raw);
            if (!holds)
                return false;
        }

        return true;
    }

    private ulong SelectorRaw(string name)
    {
        foreach (var signal in plan.Signals)
        {
            if (signal.Definition.Name == name)
                return signal.Extract(payload);
        }

        throw new InvalidOperationException($"no selector {name}");
    }

    private static Func<Reading, double> Value(SignalDefinition signal, Network network, IReadOnlyList<MessageFault> faults)
    {
        if (signal.Encoding == SignalEncoding.Text)
            return _ => 0;
        var value = network.Values[signal.Name];
        foreach (var fault in faults)
        {
            if (fault is MessageFault.Unavailable unavailable && unavailable.Signal == signal.Name)
                return _ => Reading.NotAvailable;
            if (fault is MessageFault.WrongScale wrong && wrong.Signal == signal.Name)
                return r => (value(r) * wrong.Scale) + wrong.Offset;
        }

        return value;
    }
}
