using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>A cyclic redundancy check of 8 or 16 bits with a known polynomial, and unknown start, final value and data id.</summary>
internal sealed class CrcForm : ChecksumForm
{
    private readonly int polynomial;
    private readonly bool reflected;
    private readonly int tail;
    private readonly int[] table = new int[256];

    /// <summary>A form to be fitted.</summary>
    /// <param name="width">8 or 16.</param>
    /// <param name="polynomial">Without its highest term.</param>
    /// <param name="reflected">Least significant bit first.</param>
    /// <param name="tail">Hidden bytes behind the covered ones: none, or those of a data id.</param>
    public CrcForm(int width, int polynomial, bool reflected, int tail)
    {
        Width = width;
        this.polynomial = polynomial;
        this.reflected = reflected;
        this.tail = tail;
        for (var i = 0; i < table.Length; i++)
        {
            table[i] = TableEntry(i);
        }
    }

    /// <inheritdoc/>
    public override double HypothesisBits => Width + 2;

    private int Mask => (1 << Width) - 1;

    /// <inheritdoc/>
    public override int Residual(ReadOnlySpan<byte> payload, Coverage coverage, int check)
    {
        var register = Register(payload, coverage, 0);
        for (var i = 0; i < tail; i++)
        {
            register = Step(register, 0);
        }

        return check ^ register;
    }

    /// <inheritdoc/>
    public override ChecksumDefinition Define(Coverage coverage, int residual)
    {
        if (tail > 0)
        {
            return DefineWithIds(coverage, [residual], idFirst: false);
        }

        Span<byte> zeros = stackalloc byte[64];
        zeros.Clear();

        // The pairs of start and final value that published checks use; any other pair comes out as a final value alone.
        foreach (var (start, final) in (ReadOnlySpan<(int, int)>)[(0, 0), (Mask, Mask), (Mask, 0), (0, Mask)])
        {
            if ((Register(zeros, coverage, start) ^ final) == residual)
            {
                return Definition(coverage, start, final);
            }
        }

        return Definition(coverage, 0, residual);
    }

    /// <summary>
    /// The form with hidden data ids, one or one for each counter value, given the residual of each. As many bits of an id can be told as the register
    /// has: of a longer id, those that come last; the others are taken as 0.
    /// </summary>
    public ChecksumDefinition DefineWithIds(Coverage coverage, ReadOnlySpan<int> residuals, bool idFirst)
    {
        Span<byte> zeros = stackalloc byte[64];
        zeros.Clear();
        var (start, final) = UsualConstants();
        var ids = new ulong[residuals.Length];
        var bytes = idFirst ? Width / 8 : tail;
        for (var value = 0; value <= Mask; value++)
        {
            // An id as wide as the register maps one to one onto the residual, so each residual has just one id.
            var id = (ulong)value << ((8 * bytes) - Width);
            var residual = final ^ (idFirst ? Register(zeros, coverage, TakeIn(start, id, bytes)) : TakeIn(Register(zeros, coverage, start), id, bytes));
            for (var i = 0; i < ids.Length; i++)
            {
                ids[i] = residuals[i] == residual ? id : ids[i];
            }
        }

        return Definition(coverage, start, final) with { DataIds = ids, DataIdBytes = bytes, DataIdFirst = idFirst };
    }

    // What the AUTOSAR end-to-end profiles use with these polynomials; with an id to be found any other pair would do as well.
    private (int Start, int Final) UsualConstants() => (Width, polynomial, reflected) switch
    {
        (8, 0x2F, false) => (0xFF, 0xFF),
        (16, 0x1021, false) => (0xFFFF, 0),
        _ => (0, 0),
    };

    private ChecksumDefinition Definition(Coverage coverage, int start, int final) => new(ChecksumFamily.Crc, coverage.Check)
    {
        Over = coverage.Ranges(),
        Crc = new CrcParameters(Width, (ulong)polynomial, (ulong)start, (ulong)final, reflected),
    };

    /// <summary>Takes in a data id, low byte first.</summary>
    private int TakeIn(int register, ulong id, int bytes)
    {
        for (var i = 0; i < bytes; i++)
        {
            register = Step(register, (int)(id >> (8 * i)) & 0xFF);
        }

        return register;
    }

    private int Register(ReadOnlySpan<byte> payload, Coverage coverage, int start)
    {
        var register = start;
        for (var i = coverage.From; i <= coverage.To; i++)
        {
            if (!coverage.Skips(i))
            {
                register = Step(register, payload[i]);
            }
        }

        return register;
    }

    private int Step(int register, int value) => reflected
        ? (register >> 8) ^ table[(register ^ value) & 0xFF]
        : ((register << 8) & Mask) ^ table[((register >> (Width - 8)) ^ value) & 0xFF];

    private int TableEntry(int index)
    {
        var register = reflected ? index : index << (Width - 8);
        var turned = 0;
        for (var bit = 0; bit < Width; bit++)
        {
            turned |= ((polynomial >> bit) & 1) << (Width - 1 - bit);
        }

        for (var bit = 0; bit < 8; bit++)
        {
            register = reflected
                ? (register & 1) != 0 ? (register >> 1) ^ turned : register >> 1
                : ((register >> (Width - 1)) & 1) != 0 ? ((register << 1) & Mask) ^ polynomial : (register << 1) & Mask;
        }

        return register;
    }
}
