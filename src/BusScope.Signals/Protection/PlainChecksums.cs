using BusScope.Signals.Definitions;

namespace BusScope.Signals.Protection;

/// <summary>A CRC over chosen bytes, with a data id before or after them.</summary>
internal sealed class CyclicChecksum : ChecksumPlan
{
    private readonly CyclicCheck check;
    private readonly CoveredBytes covered;

    public CyclicChecksum(ChecksumDefinition definition, CounterDefinition? counter)
        : base(definition)
    {
        check = new CyclicCheck(definition.Crc ?? throw new ArgumentException("a CRC without parameters", nameof(definition)));
        covered = new CoveredBytes(definition, counter, BitsOutsideField());
        LastByte = Math.Max(LastByte, covered.LastByte);
    }

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload)
    {
        var id = covered.IdFor(payload);
        var register = covered.IdFirst ? check.Add(check.Start, id) : check.Start;
        for (var i = 0; i < covered.Count; i++)
        {
            register = check.Add(register, covered.At(payload, i));
        }

        return check.Finish(covered.IdFirst ? register : check.Add(register, id)) & Mask;
    }
}

/// <summary>The sums, exclusive ors and nibble forms over chosen bytes and a data id.</summary>
internal sealed class SumChecksum : ChecksumPlan
{
    private readonly CoveredBytes covered;

    public SumChecksum(ChecksumDefinition definition, CounterDefinition? counter)
        : base(definition)
    {
        covered = new CoveredBytes(definition, counter, BitsOutsideField());
        LastByte = Math.Max(LastByte, covered.LastByte);
    }

    /// <inheritdoc/>
    public override ulong Compute(ReadOnlySpan<byte> payload)
    {
        var result = 0UL;
        foreach (var next in covered.IdFor(payload))
        {
            result = Add(result, next);
        }

        for (var i = 0; i < covered.Count; i++)
        {
            result = Add(result, covered.At(payload, i));
        }

        return ((result + Definition.Start) ^ Definition.Final) & Mask;
    }

    private ulong Add(ulong result, byte next) => Definition.Family switch
    {
        ChecksumFamily.Sum => result + next,
        ChecksumFamily.Xor => result ^ next,
        ChecksumFamily.NibbleSum => result + (ulong)(next >> 4) + (ulong)(next & 0xF),
        _ => result ^ (ulong)(next >> 4) ^ (ulong)(next & 0xF),
    };
}
