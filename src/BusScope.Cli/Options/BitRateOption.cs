using System.CommandLine;

namespace BusScope.Cli.Options;

/// <summary><c>--bitrate 500k</c> for every bus, <c>--bitrate NAME=500k</c> for one.</summary>
internal sealed class BitRateOption
{
    private readonly Option<string[]> option = new("--bitrate")
    {
        Description = "Bit rate where the source knows none: 500k, or NAME=500k for one bus; repeatable",
        HelpName = "[NAME=]RATE",
    };

    /// <summary>Adds the option to a command.</summary>
    public void AddTo(Command command)
    {
        option.Validators.Add(result =>
        {
            foreach (var token in result.Tokens)
            {
                if (Quantity.BitRate(Split(token.Value).Rate) is null)
                {
                    result.AddError($"'{token.Value}' is no bit rate: write 500k, 1M or 125000, with NAME= before it for one bus");
                }
            }
        });
        command.Options.Add(option);
    }

    /// <summary>Bits per second by name of bus; the empty name stands for every bus.</summary>
    public Dictionary<string, long> Read(ParseResult parsed)
    {
        var rates = new Dictionary<string, long>(StringComparer.Ordinal);
        foreach (var text in parsed.GetValue(option) ?? [])
        {
            var (name, rate) = Split(text);
            rates[name] = Quantity.BitRate(rate) ?? throw new InvalidOperationException(text);
        }

        return rates;
    }

    private static (string Name, string Rate) Split(string text) =>
        text.LastIndexOf('=') is var at and >= 0 ? (text[..at], text[(at + 1)..]) : ("", text);
}
