using System.CommandLine;

namespace BusScope.Cli.Options;

/// <summary><c>--bitrate 500k</c> for every bus, <c>--bitrate NAME=500k</c> for one; <c>500k/2M</c> with the data phase of CAN FD.</summary>
internal sealed class BitRateOption
{
    private readonly Option<string[]> option = new("--bitrate")
    {
        Description = "Bit rate where the source knows none: 500k, 500k/2M for CAN FD, NAME=500k for one bus; repeatable",
        HelpName = "[NAME=]RATE",
    };

    /// <summary>Adds the option to a command.</summary>
    public void AddTo(Command command)
    {
        option.Validators.Add(result =>
        {
            foreach (var token in result.Tokens)
            {
                var (_, rate, data) = Split(token.Value);
                if (Quantity.BitRate(rate) is null || (data is not null && Quantity.BitRate(data) is null))
                {
                    result.AddError($"'{token.Value}' is no bit rate: write 500k, 1M or 125000, 500k/2M for CAN FD, with NAME= before it for one bus");
                }
            }
        });
        command.Options.Add(option);
    }

    /// <summary>Bits per second, and those of the data phase where one was named behind a slash, by name of bus; the empty name stands for every bus.</summary>
    public Dictionary<string, (long Rate, long? Data)> Read(ParseResult parsed)
    {
        var rates = new Dictionary<string, (long Rate, long? Data)>(StringComparer.Ordinal);
        foreach (var text in parsed.GetValue(option) ?? [])
        {
            var (name, rate, data) = Split(text);
            rates[name] = (Quantity.BitRate(rate) ?? throw new InvalidOperationException(text), data is null ? null : Quantity.BitRate(data));
        }

        return rates;
    }

    private static (string Name, string Rate, string? Data) Split(string text)
    {
        var at = text.LastIndexOf('=');
        var rates = text[(at + 1)..];
        var slash = rates.IndexOf('/', StringComparison.Ordinal);
        return (at < 0 ? "" : text[..at], slash < 0 ? rates : rates[..slash], slash < 0 ? null : rates[(slash + 1)..]);
    }
}
