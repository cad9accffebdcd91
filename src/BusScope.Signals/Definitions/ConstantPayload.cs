using System.Text;

namespace BusScope.Signals.Definitions;

/// <summary>
/// The part of a payload that never changes in a healthy car. Written as the payload is, in pairs of hexadecimal digits, with a hyphen for a
/// digit that may be anything: <c>01 -- A- 00</c>.
/// </summary>
/// <param name="Value">The bytes; 0 where a bit may be anything.</param>
/// <param name="Mask">For each byte the bits that are constant, a digit's four together; as long as <paramref name="Value"/>.</param>
public sealed record ConstantPayload(ReadOnlyMemory<byte> Value, ReadOnlyMemory<byte> Mask)
{
    /// <summary>Stands for a digit that may be anything.</summary>
    public const char Open = '-';

    private const byte HighDigit = 0xF0;
    private const byte LowDigit = 0x0F;

    /// <summary>The part of a payload in which no digit ever changed, up to the last of them; null where every digit did.</summary>
    /// <param name="payload">Any payload.</param>
    /// <param name="changed">For each of its bytes the bits that ever changed.</param>
    public static ConstantPayload? Of(ReadOnlySpan<byte> payload, ReadOnlySpan<byte> changed)
    {
        var mask = new byte[payload.Length];
        var value = new byte[payload.Length];
        for (var i = 0; i < mask.Length; i++)
        {
            mask[i] = UnchangedDigits(changed[i]);
            value[i] = (byte)(payload[i] & mask[i]);
        }

        var length = mask.AsSpan().LastIndexOfAnyExcept((byte)0) + 1;
        return length == 0 ? null : new ConstantPayload(value.AsMemory(0, length), mask.AsMemory(0, length));
    }

    /// <summary>The bits of the digits of a byte in which no bit changed.</summary>
    /// <param name="changed">The bits that changed.</param>
    public static byte UnchangedDigits(byte changed) =>
        (byte)(((changed & HighDigit) == 0 ? HighDigit : 0) | ((changed & LowDigit) == 0 ? LowDigit : 0));

    /// <summary>Whether another one, or null for one without a constant digit, says the same of all digits that this one gives.</summary>
    public bool IsPartOf(ConstantPayload? other)
    {
        for (var i = 0; i < Mask.Length; i++)
        {
            var (value, mask) = other is not null && i < other.Mask.Length ? (other.Value.Span[i], other.Mask.Span[i]) : ((byte)0, (byte)0);
            if ((Mask.Span[i] & ~mask) != 0 || ((Value.Span[i] ^ value) & Mask.Span[i]) != 0)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>A byte as it is written, with hyphens for the digits that are not in the mask.</summary>
    public static string Digits(byte value, byte mask) => string.Create(2, (value, mask), static (text, of) =>
    {
        text[0] = (of.mask & HighDigit) == 0 ? Open : "0123456789ABCDEF"[of.value >> 4];
        text[1] = (of.mask & LowDigit) == 0 ? Open : "0123456789ABCDEF"[of.value & LowDigit];
    });

    /// <summary>As a definition file says it.</summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        for (var i = 0; i < Mask.Length; i++)
        {
            text.Append(i == 0 ? "" : " ").Append(Digits(Value.Span[i], Mask.Span[i]));
        }

        return text.ToString();
    }
}
