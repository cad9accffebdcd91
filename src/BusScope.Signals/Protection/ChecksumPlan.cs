using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Protection;

/// <summary>A checksum definition compiled for running: what the field must hold for a payload (docs/checksums.md). Frozen.</summary>
public abstract class ChecksumPlan
{
    private readonly BitWindow window;

    /// <summary>Compiles what every family has: the field.</summary>
    private protected ChecksumPlan(ChecksumDefinition definition)
    {
        Definition = definition;
        window = new BitWindow(definition.Field);
        LastByte = definition.Field.LastByte;
    }

    /// <summary>What it was compiled from.</summary>
    public ChecksumDefinition Definition { get; }

    /// <summary>The last byte that it needs: shorter payloads can be neither checked nor protected.</summary>
    public int LastByte { get; private protected init; }

    /// <summary>As many ones as the field has bits.</summary>
    private protected ulong Mask => window.Mask;

    /// <summary>Compiles the checksum of a message, or gives null where it has none.</summary>
    public static ChecksumPlan? Compile(MessageDefinition message)
    {
        ArgumentNullException.ThrowIfNull(message);
        return message.Checksum switch
        {
            null => null,
            { Family: ChecksumFamily.Crc } crc => new CyclicChecksum(crc, message.Counter),
            { Family: ChecksumFamily.Sum or ChecksumFamily.Xor or ChecksumFamily.NibbleSum or ChecksumFamily.NibbleXor } sum => new SumChecksum(sum, message.Counter),
            { Family: ChecksumFamily.E2EProfile1 } profile => new Profile1Checksum(profile, message.Counter),
            { Family: ChecksumFamily.E2EProfile2 } profile => new Profile2Checksum(profile, message.Counter),
            { Family: ChecksumFamily.E2EProfile4 } profile => new Profile4Checksum(profile),
            { Family: ChecksumFamily.E2EProfile5 } profile => new Profile5Checksum(profile),
            { Family: ChecksumFamily.E2EProfile6 } profile => new Profile6Checksum(profile),
            var other => throw new ArgumentException($"unknown checksum family {other.Family}", nameof(message)),
        };
    }

    /// <summary>What the field must hold. The payload reaches to <see cref="LastByte"/>; what stands in the field does not matter.</summary>
    public abstract ulong Compute(ReadOnlySpan<byte> payload);

    /// <summary>Whether the field holds what it must, and the rest that the family fixes is right.</summary>
    public virtual bool Holds(ReadOnlySpan<byte> payload) => window.Read(payload) == Compute(payload);

    /// <summary>Writes what the family fixes into the payload, the field last.</summary>
    public virtual void Protect(Span<byte> payload) => window.Write(payload, Compute(payload));

    /// <summary>For each byte up to the field's last, the bits that are not the field's.</summary>
    private protected byte[] BitsOutsideField()
    {
        var outside = new byte[Definition.Field.LastByte + 1];
        outside.AsSpan().Fill(0xFF);
        for (var n = 0; n < Definition.Field.Length; n++)
        {
            var at = Definition.Field.At(n);
            outside[at.Byte] &= (byte)~(1 << at.Bit);
        }

        return outside;
    }
}
