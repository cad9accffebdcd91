namespace BusScope.Analysis.Tests.Learning;

/// <summary>A cyclic redundancy check bit by bit, the shift register as textbooks draw it: the model that the finders are held against.</summary>
internal static class ShiftRegister
{
    /// <summary>The checksum of some bytes.</summary>
    public static int Run(IEnumerable<byte> data, int width, int polynomial, bool reflected, int start, int final)
    {
        var register = reflected ? Turn(start, width) : start;
        foreach (var b in data)
        {
            for (var bit = 0; bit < 8; bit++)
            {
                var incoming = (b >> (reflected ? bit : 7 - bit)) & 1;
                var top = (register >> (width - 1)) & 1;
                register = ((register << 1) & ((1 << width) - 1)) ^ (top != incoming ? polynomial : 0);
            }
        }

        return (reflected ? Turn(register, width) : register) ^ final;
    }

    private static int Turn(int value, int width) => Enumerable.Range(0, width).Sum(bit => ((value >> bit) & 1) << (width - 1 - bit));
}
