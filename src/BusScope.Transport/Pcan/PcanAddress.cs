using System.Globalization;

namespace BusScope.Transport.Pcan;

/// <summary>
/// A channel and the bit rate at which it listens: <c>usb1@500k</c>, for CAN FD <c>usb1@500k/2M</c>, or with a bit timing of one's
/// own in the form of PCANBasic.h, <c>usb1@f_clock=80000000,nom_brp=10,…</c>.
/// </summary>
/// <param name="Name">The channel's name: <c>usb1</c>.</param>
/// <param name="Channel">Its handle.</param>
public sealed record PcanAddress(string Name, ushort Channel)
{
    // PCANBasic.h, "supported PCAN channels": the first eight of a kind beside each other, further ones elsewhere.
    private static readonly (string Kind, int First, int Further, int Count)[] kinds =
        [("usb", 0x51, 0x509, 16), ("pci", 0x41, 0x409, 16), ("lan", 0x801, 0x809, 16), ("pccard", 0x61, 0, 2)];

    // PCANBasic.h, "Baud rate codes": values of the controller registers BTR0 and BTR1 at 8 MHz.
    private static readonly (long BitRate, ushort Timing)[] classic =
    [
        (1_000_000, 0x0014), (800_000, 0x0016), (500_000, 0x001C), (250_000, 0x011C), (125_000, 0x031C), (100_000, 0x432F), (95_238, 0xC34E),
        (83_333, 0x852B), (50_000, 0x472F), (47_619, 0x1414), (33_333, 0x8B2F), (20_000, 0x532F), (10_000, 0x672F), (5_000, 0x7F7F),
    ];

    /// <summary>The bit rates of Classical CAN, as they are written.</summary>
    public static string ClassicRates => string.Join(", ", classic.Select(each => each.BitRate >= 1_000_000 ? "1M" : string.Create(CultureInfo.InvariantCulture, $"{each.BitRate / 1000m:0.###}k")));

    /// <summary>Every channel that there can be, by name.</summary>
    internal static IEnumerable<(string Name, ushort Channel)> AllChannels =>
        from each in kinds
        from number in Enumerable.Range(1, each.Count)
        select (string.Create(CultureInfo.InvariantCulture, $"{each.Kind}{number}"), (ushort)(number <= 8 ? each.First + number - 1 : each.Further + number - 9));

    /// <summary>BTR0 and BTR1 for Classical CAN; null for CAN FD.</summary>
    public ushort? ClassicTiming { get; private init; }

    /// <summary>The bit timing for CAN FD; null for Classical CAN.</summary>
    public string? FlexibleTiming { get; private init; }

    /// <summary>Bits per second of the arbitration phase; null where only its timing was given.</summary>
    public long? BitRate { get; private init; }

    /// <summary>Bits per second of the data phase; null for Classical CAN, and where only its timing was given.</summary>
    public long? DataBitRate { get; private init; }

    /// <summary>Reads an address.</summary>
    /// <param name="text">What stands behind <c>pcan:</c>.</param>
    /// <param name="bitRate">Reads a bit rate as a person writes it; null for anything else.</param>
    /// <param name="fault">What is wrong, and what would be right.</param>
    /// <returns>The address, or null with a fault.</returns>
    public static PcanAddress? Parse(string text, Func<string, long?> bitRate, out string? fault)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(bitRate);
        var at = text.IndexOf('@', StringComparison.Ordinal);
        var name = at < 0 ? text : text[..at];
        fault = null;
        if (ChannelOf(name) is not { } channel)
        {
            fault = $"there is no channel '{name}': usb1 to usb16, pci1 to pci16, lan1 to lan16, pccard1, pccard2";
            return null;
        }

        if (at < 0)
        {
            fault = $"at which bit rate? Write pcan:{name}@500k, or pcan:{name}@500k/2M for CAN FD";
            return null;
        }

        var address = new PcanAddress(name, channel);
        var rates = text[(at + 1)..];
        if (rates.Contains('=', StringComparison.Ordinal))
        {
            return address with { FlexibleTiming = rates };
        }

        var (first, second) = rates.Split('/') switch
        {
            [var only] => (bitRate(only), (long?)null),
            [var before, var behind] => (bitRate(before), bitRate(behind) ?? 0),
            _ => (null, null),
        };
        var found = first is not { } rate ? null : second is { } data ? Flexible(address, rate, data) : Classic(address, rate);
        fault = found is null ? $"cannot run at '{rates}': Classical CAN at one of {ClassicRates}; CAN FD at two rates that divide 80 MHz, as 500k/2M" : null;
        return found;
    }

    private static PcanAddress? Classic(PcanAddress address, long rate) =>
        Array.FindIndex(classic, each => each.BitRate == rate) is var index and >= 0
            ? address with { BitRate = rate, ClassicTiming = classic[index].Timing }
            : null;

    private static PcanAddress? Flexible(PcanAddress address, long rate, long data) =>
        PcanTiming.Of(rate, data) is { } timing ? address with { BitRate = rate, DataBitRate = data, FlexibleTiming = timing } : null;

    private static ushort? ChannelOf(string name)
    {
        foreach (var (known, channel) in AllChannels)
        {
            if (known == name)
            {
                return channel;
            }
        }

        return null;
    }
}
