using System.Buffers.Binary;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Signals.Protection;

/// <summary>
/// What the AUTOSAR E2E profiles share (PRS_E2EProtocol): a CRC over the whole payload but its own bytes, which the field
/// names; the rest of the header stands at fixed distances from it.
/// </summary>
internal abstract class ProfileChecksum : ChecksumPlan
{
    private protected ProfileChecksum(ChecksumDefinition definition)
        : base(definition) => FieldAt = definition.Field.FirstByte;

    /// <summary>The byte where the CRC begins.</summary>
    protected int FieldAt { get; }

    /// <summary>The first data id, or 0.</summary>
    protected ulong DataId => Definition.DataIds.Count == 0 ? 0 : Definition.DataIds[0];

    /// <summary>The register after every payload byte but the CRC's own.</summary>
    protected ulong AddAround(CyclicCheck check, ulong register, ReadOnlySpan<byte> payload) =>
        check.Add(check.Add(register, payload[..FieldAt]), payload[(Definition.Field.LastByte + 1)..]);
}

/// <summary>Profiles 1 and 11: CRC-8 with the SAE J1850 polynomial, start and final 0, data id before the payload.</summary>
internal sealed class Profile1Checksum : ProfileChecksum
{
    private readonly CyclicCheck check = new(new CrcParameters(8, 0x1D, 0, 0, false));
    private readonly BitWindow counter;

    public Profile1Checksum(ChecksumDefinition definition, CounterDefinition? counter)
        : base(definition)
    {
        this.counter = ProfileCounter.After(definition, counter);
        LastByte = Math.Max(Math.Max(LastByte, this.counter.LastByte), FieldAt + 1);
    }

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload)
    {
        var (low, high) = ((byte)DataId, (byte)(DataId >> 8));
        var register = check.Start;
        switch (Definition.DataIdMode)
        {
            case DataIdMode.Both:
                register = check.Add(check.Add(register, low), high);
                break;
            case DataIdMode.Alternating:
                register = check.Add(register, counter.Read(payload) % 2 == 0 ? low : high);
                break;
            case DataIdMode.Low:
                register = check.Add(register, low);
                break;
            default:
                register = check.Add(check.Add(register, low), 0);
                break;
        }

        return check.Finish(AddAround(check, register, payload));
    }

    /// <inheritdoc/>
    public override bool Holds(ReadOnlySpan<byte> payload) =>
        base.Holds(payload) && (Definition.DataIdMode != DataIdMode.Nibble || payload[FieldAt + 1] >> 4 == (int)(DataId >> 8 & 0xF));

    /// <inheritdoc/>
    public override void Protect(Span<byte> payload)
    {
        if (Definition.DataIdMode == DataIdMode.Nibble)
        {
            // Profile 1C: the low nibble of the id's high byte is sent beside the counter.
            payload[FieldAt + 1] = (byte)((payload[FieldAt + 1] & 0xF) | (int)(DataId >> 8 & 0xF) << 4);
        }

        base.Protect(payload);
    }
}

/// <summary>Profiles 2 and 22: CRC-8/AUTOSAR over the payload, then the data id that the counter chooses out of sixteen.</summary>
internal sealed class Profile2Checksum : ProfileChecksum
{
    private readonly CyclicCheck check = new(new CrcParameters(8, 0x2F, 0xFF, 0xFF, false));
    private readonly BitWindow counter;

    public Profile2Checksum(ChecksumDefinition definition, CounterDefinition? counter)
        : base(definition)
    {
        this.counter = ProfileCounter.After(definition, counter);
        LastByte = Math.Max(LastByte, this.counter.LastByte);
    }

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload)
    {
        var ids = Definition.DataIds;
        var id = ids.Count == 0 ? 0 : ids[(int)(counter.Read(payload) % (uint)ids.Count)];
        return check.Finish(check.Add(AddAround(check, check.Start, payload), (byte)id));
    }
}

/// <summary>Profiles 4 and 44: a 12-byte header of length, counter, data id (each high byte first) and CRC-32/AUTOSAR.</summary>
internal sealed class Profile4Checksum : ProfileChecksum
{
    private const int HeaderBeforeField = 8;

    private readonly CyclicCheck check = new(new CrcParameters(32, 0xF4AC_FB13, 0xFFFF_FFFF, 0xFFFF_FFFF, true));
    private readonly int header;

    public Profile4Checksum(ChecksumDefinition definition)
        : base(definition)
    {
        header = Math.Max(0, FieldAt - HeaderBeforeField);
        LastByte = Math.Max(LastByte, header + HeaderBeforeField - 1);
    }

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload) => check.Finish(AddAround(check, check.Start, payload));

    /// <inheritdoc/>
    public override bool Holds(ReadOnlySpan<byte> payload) =>
        base.Holds(payload)
        && BinaryPrimitives.ReadUInt16BigEndian(payload[header..]) == payload.Length
        && (Definition.DataIds.Count == 0 || BinaryPrimitives.ReadUInt32BigEndian(payload[(header + 4)..]) == (uint)DataId);

    /// <inheritdoc/>
    public override void Protect(Span<byte> payload)
    {
        BinaryPrimitives.WriteUInt16BigEndian(payload[header..], (ushort)payload.Length);
        if (Definition.DataIds.Count != 0)
        {
            BinaryPrimitives.WriteUInt32BigEndian(payload[(header + 4)..], (uint)DataId);
        }

        base.Protect(payload);
    }
}

/// <summary>Profile 5: CRC-16/IBM-3740 over the payload, then the data id, low byte first. The field is sent low byte first.</summary>
internal sealed class Profile5Checksum(ChecksumDefinition definition) : ProfileChecksum(definition)
{
    private readonly CyclicCheck check = new(new CrcParameters(16, 0x1021, 0xFFFF, 0, false));

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload) =>
        check.Finish(check.Add(check.Add(AddAround(check, check.Start, payload), (byte)DataId), (byte)(DataId >> 8)));
}

/// <summary>Profile 6: CRC-16/IBM-3740 over the payload with its length, then the data id, high byte first. The field is sent high byte first.</summary>
internal sealed class Profile6Checksum : ProfileChecksum
{
    private readonly CyclicCheck check = new(new CrcParameters(16, 0x1021, 0xFFFF, 0, false));

    public Profile6Checksum(ChecksumDefinition definition)
        : base(definition) => LastByte = Math.Max(LastByte, FieldAt + 3);

    private int LengthAt => FieldAt + 2;

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload) =>
        check.Finish(check.Add(check.Add(AddAround(check, check.Start, payload), (byte)(DataId >> 8)), (byte)DataId));

    /// <inheritdoc/>
    public override bool Holds(ReadOnlySpan<byte> payload) =>
        base.Holds(payload) && BinaryPrimitives.ReadUInt16BigEndian(payload[LengthAt..]) == payload.Length;

    /// <inheritdoc/>
    public override void Protect(Span<byte> payload)
    {
        BinaryPrimitives.WriteUInt16BigEndian(payload[LengthAt..], (ushort)payload.Length);
        base.Protect(payload);
    }
}

/// <summary>The counter that profiles 1 and 2 look at.</summary>
internal static class ProfileCounter
{
    private const int CounterBits = 4;

    /// <summary>The message's own counter, else the low nibble of the byte behind the CRC, where the profiles have it.</summary>
    public static BitWindow After(ChecksumDefinition definition, CounterDefinition? counter) =>
        new(counter?.Field ?? new BitField(new BitPosition(definition.Field.FirstByte + 1, 0), CounterBits, ByteOrder.Little));
}
