using BusScope.Signals.Definitions;
using BusScope.Signals.Protection;

namespace BusScope.Signals.Plans;

/// <summary>A message definition compiled for running: positions resolved to shifts and masks, ranges to raw ranges. Frozen.</summary>
public sealed partial class MessagePlan
{
    private readonly SignalPlan[] signals;
    private readonly SignalScan[] scans;
    private readonly CounterPlan? counter;
    private readonly ChecksumResidue? residue;

    /// <summary>Compiles a definition that the loader accepted.</summary>
    public MessagePlan(MessageDefinition definition)
    {
        ArgumentNullException.ThrowIfNull(definition);
        Definition = definition;
        signals = [.. definition.Signals.Select(signal => new SignalPlan(signal))];
        foreach (var signal in signals)
        {
            signal.Select(signals);
        }

        scans = [.. signals.Select(signal => new SignalScan(signal))];
        counter = definition.Counter is { } defined ? new CounterPlan(defined, definition.Timing) : null;
        Checksum = ChecksumPlan.Compile(definition);
        residue = ChecksumResidue.Compile(Checksum);
        Living = LivingBits.Compile(definition);
    }

    /// <summary>What it was compiled from.</summary>
    public MessageDefinition Definition { get; }

    /// <summary>One for each signal of the definition, in its order.</summary>
    public IReadOnlyList<SignalPlan> Signals => signals;

    /// <summary>Its checksum, or null.</summary>
    public ChecksumPlan? Checksum { get; }

    /// <summary>The bits that must not rest: of each signal that lives, then those that the message marks.</summary>
    public IReadOnlyList<LivingBits> Living { get; }

    /// <summary>Reads one signal of one frame, exactly: multiplexing, short payloads, special raw values and range included.</summary>
    public Sample Read(int signal, ReadOnlySpan<byte> payload) => signals[signal].Read(payload);

    /// <summary>Whether the payload's checksum is right; null where the message has none or the payload is too short.</summary>
    public bool? ChecksumHolds(ReadOnlySpan<byte> payload) =>
        Checksum is { } checksum && payload.Length > checksum.LastByte ? checksum.Holds(payload) : null;

    /// <summary>The counter's value; null where the message has none or the payload is too short.</summary>
    public int? Counter(ReadOnlySpan<byte> payload) =>
        counter is { } present && payload.Length > present.Window.LastByte ? present.Read(payload) : null;

    /// <summary>The counter value that must follow on one, or -1 after a value that the counter cannot have. Only where there is a counter.</summary>
    public int CounterAfter(int value) => counter!.After(value);

    /// <summary>
    /// Writes one signal into a payload: the raw value nearest to the physical value, within what the field can hold. Other bits
    /// stay; selectors are not set.
    /// </summary>
    /// <exception cref="ArgumentException">The payload does not reach to the field's last byte.</exception>
    public void Write(int signal, double physical, Span<byte> payload)
    {
        var plan = signals[signal];
        PayloadWriter.Write(payload, plan.Definition.Field, plan.Raw(physical));
    }

    /// <summary>Writes the alive counter, where the message has one, then the checksum and what else its family fixes.</summary>
    /// <param name="count">Frames sent before this one.</param>
    /// <param name="payload">As long as the frame.</param>
    /// <exception cref="ArgumentException">The payload does not reach to the last byte of counter or checksum.</exception>
    public void Protect(long count, Span<byte> payload)
    {
        if (counter is { } present)
        {
            PayloadWriter.Write(payload, present.Definition.Field, (ulong)present.At(count));
        }

        if (Checksum is { } checksum)
        {
            if (payload.Length <= checksum.LastByte)
            {
                throw new ArgumentException($"a payload of {payload.Length} bytes, but the checksum needs {checksum.LastByte + 1}", nameof(payload));
            }

            checksum.Protect(payload);
        }
    }
}
