using System.Buffers.Binary;
using BusScope.Demo.Car;
using BusScope.Signals.Definitions;

namespace BusScope.Demo.Senders;

/// <summary>Fills the frames of one message: signals from the car, then counter, then checksum, then what the story spoils.</summary>
internal sealed class FrameContent
{
    private readonly MessageDefinition definition;
    private readonly Func<Reading, double>[] values;
    private readonly SeededRandom noise;
    private readonly byte[] payload;
    private readonly bool counterStands;
    private readonly byte sentLength;
    private long count;

    /// <summary>Nothing filled yet.</summary>
    public FrameContent(MessageDefinition definition, IReadOnlyList<MessageFault> faults, SeededRandom noise)
    {
        this.definition = definition;
        this.noise = noise;
        payload = new byte[8];
        values = [.. definition.Signals.Select(s => Value(s, faults))];
        counterStands = faults.OfType<MessageFault.CounterFrozen>().Any();
        sentLength = (byte)(faults.OfType<MessageFault.WrongLength>().FirstOrDefault()?.Length ?? definition.Length ?? 8);
    }

    /// <summary>What the next frame would carry, counter and checksum aside: to see whether something changed.</summary>
    public ulong Preview(Dunlin car)
    {
        Fill(new Reading(car, 0, noise));
        return BinaryPrimitives.ReadUInt64LittleEndian(payload);
    }

    /// <summary>The next frame's length and payload.</summary>
    public (byte Length, ulong Payload) Next(Dunlin car)
    {
        Fill(new Reading(car, count, noise));
        if (definition.Counter is { } counter && !counterStands)
            Put(counter.Field, (ulong)(count * counter.Step % counter.Modulo));
        count++;
        return (sentLength, BinaryPrimitives.ReadUInt64LittleEndian(payload));
    }

    private void Fill(Reading reading)
    {
        payload.AsSpan().Clear();
        for (var i = 0; i < values.Length; i++)
        {
            var signal = definition.Signals[i];
            var raw = (ulong)(long)Math.Round((values[i](reading) - signal.Offset) / signal.Scale);
            Put(signal.Field, raw);
        }
    }

    private void Put(BitField field, ulong raw)
    {
        for (var bit = 0; bit < field.Length; bit++)
        {
            var at = field.At(field.Order == ByteOrder.Big ? field.Length - 1 - bit : bit);
            payload[at.Byte] |= (byte)(((raw >> bit) & 1) << at.Bit);
        }
    }

    private static Func<Reading, double> Value(SignalDefinition signal, IReadOnlyList<MessageFault> faults)
    {
        if (signal.Encoding == SignalEncoding.Text)
            return _ => 0;
        var value = SignalValues.Numbers[signal.Name];
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
