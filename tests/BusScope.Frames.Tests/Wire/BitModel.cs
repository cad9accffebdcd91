namespace BusScope.Frames.Tests.Wire;

/// <summary>
/// A frame on the wire as a list of bits, made the slow way and straight from the fields of ISO 11898-1: what the table-driven
/// code is held against. The field orders of Classical CAN are checked against published frames; the rules of CAN FD (fixed stuff
/// bits, the last dynamic one, starting values of the CRCs) are from memory of ISO 11898-1:2015.
/// </summary>
internal static class BitModel
{
    public static List<bool> Number(ulong value, int width) => [.. Enumerable.Range(0, width).Select(i => ((value >> (width - 1 - i)) & 1) != 0)];

    public static ulong Crc(IEnumerable<bool> bits, int width, ulong polynomial, ulong start)
    {
        var register = start;
        foreach (var bit in bits)
        {
            var next = bit ^ ((register >> (width - 1)) & 1) != 0;
            register = (register << 1) & ((1UL << width) - 1);
            register ^= next ? polynomial & ((1UL << width) - 1) : 0;
        }

        return register;
    }

    public static List<bool> Stuffed(IEnumerable<bool> bits, bool afterLast = true)
    {
        var sent = new List<bool>();
        var content = bits.ToList();
        for (var i = 0; i < content.Count; i++)
        {
            sent.Add(content[i]);
            var five = sent.TakeLast(5).ToList();
            if (five.Count == 5 && five.TrueForAll(b => b == five[0]) && (afterLast || i < content.Count - 1))
            {
                sent.Add(!five[0]);
            }
        }

        return sent;
    }

    public static List<bool> ClassicContent(CanId id, bool remote, int code, byte[] data) =>
    [
        false,
        .. id.IsExtended
            ? (bool[])[.. Number(id.Value >> 18, 11), true, true, .. Number(id.Value & 0x3FFFF, 18), remote, false, false]
            : [.. Number(id.Value, 11), remote, false, false],
        .. Number((ulong)code, 4),
        .. remote ? [] : data.SelectMany(b => Number(b, 8)),
    ];

    /// <summary>SOF to the end of the interframe space.</summary>
    public static List<bool> Classic(CanId id, bool remote, int code, byte[] data)
    {
        var content = ClassicContent(id, remote, code, data);
        var crc = Crc(content, 15, 0x4599, 0);
        return [.. Stuffed([.. content, .. Number(crc, 15)]), true, false, true, .. Enumerable.Repeat(true, 7 + 3)];
    }

    /// <summary>SOF to the end of the interframe space, and how many of the bits go at the data rate.</summary>
    public static (List<bool> Bits, int DataBits) Flexible(CanId id, bool switched, bool passive, byte[] data)
    {
        List<int> lengths = [0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64];
        List<bool> toSwitch =
        [
            false,
            .. id.IsExtended
                ? (bool[])[.. Number(id.Value >> 18, 11), true, true, .. Number(id.Value & 0x3FFFF, 18), false, true, false]
                : [.. Number(id.Value, 11), false, false, true, false],
            switched,
        ];
        List<bool> content = [.. toSwitch, passive, .. Number((ulong)lengths.IndexOf(data.Length), 4), .. data.SelectMany(b => Number(b, 8))];

        // Dynamic stuffing ends with the data; the fixed bit that follows stands for a stuff bit after the last one.
        var dynamic = Stuffed(content, afterLast: false);
        var stuffCount = (dynamic.Count - content.Count) % 8;
        var gray = stuffCount ^ (stuffCount >> 1);
        var parity = (int.PopCount(gray) & 1) != 0;
        List<bool> count = [.. Number((ulong)gray, 3), parity];

        // The CRC covers the stuff bits and the stuff count, and starts with the top bit set.
        var width = data.Length <= 16 ? 17 : 21;
        var crc = Crc([.. dynamic, .. count], width, width == 17 ? 0x1685BUL : 0x102899, 1UL << (width - 1));
        List<bool> end = [.. count, .. Number(crc, width)];
        List<bool> sent = [.. dynamic];
        for (var i = 0; i < end.Count; i++)
        {
            if (i % 4 == 0)
            {
                sent.Add(!sent[^1]);
            }

            sent.Add(end[i]);
        }

        // The delimiter is the last bit of the data phase; BRS itself counts as nominal.
        var nominalStart = Stuffed(toSwitch).Count;
        var dataBits = switched ? sent.Count - nominalStart + 1 : 0;
        return ([.. sent, true, false, true, .. Enumerable.Repeat(true, 7 + 3)], dataBits);
    }
}
