using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>A message definition compiled for running: positions resolved to shifts and masks, ranges to raw ranges. Frozen.</summary>
public sealed class MessagePlan
{
    /// <summary>Compiles a definition that the loader accepted.</summary>
    public MessagePlan(MessageDefinition definition) => Definition = definition;

    /// <summary>What it was compiled from.</summary>
    public MessageDefinition Definition { get; }

    /// <summary>One for each signal of the definition, in its order.</summary>
    public IReadOnlyList<SignalPlan> Signals { get; } = [];

    /// <summary>Reads one signal of one frame, exactly: multiplexing, short payloads, special raw values and range included.</summary>
    public Sample Read(int signal, ReadOnlySpan<byte> payload) => throw new NotImplementedException();

    /// <summary>Whether the payload's checksum is right; null where the message has none or the payload is too short.</summary>
    public bool? ChecksumHolds(ReadOnlySpan<byte> payload) => throw new NotImplementedException();

    /// <summary>The counter's value; null where the message has none or the payload is too short.</summary>
    public int? Counter(ReadOnlySpan<byte> payload) => throw new NotImplementedException();

    /// <summary>Adds a block of frames of the right length to the tally. Allocates nothing.</summary>
    public void Scan(MessageBlock block, MessageTally tally) => throw new NotImplementedException();
}

/// <summary>A signal definition compiled for running.</summary>
public sealed class SignalPlan
{
    internal SignalPlan(SignalDefinition definition) => Definition = definition;

    /// <summary>What it was compiled from.</summary>
    public SignalDefinition Definition { get; }

    /// <summary>The bits of the field as an unsigned number. The payload must reach to the field's last byte.</summary>
    public ulong Extract(ReadOnlySpan<byte> payload) => throw new NotImplementedException();

    /// <summary>The physical value of a raw value (no special values considered).</summary>
    public double Physical(ulong raw) => throw new NotImplementedException();

    /// <summary>The named value of a raw value, or null.</summary>
    public string? NameOf(ulong raw) => throw new NotImplementedException();

    /// <summary>The text of a text signal, cleaned of nothing; null where the payload is too short or it is no text.</summary>
    public string? Text(ReadOnlySpan<byte> payload) => throw new NotImplementedException();
}
