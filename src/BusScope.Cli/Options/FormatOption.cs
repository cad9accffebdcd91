using System.CommandLine;

namespace BusScope.Cli.Options;

/// <summary><c>--format</c>: in which form a command gives its result.</summary>
internal static class FormatOption
{
    /// <summary>The option; the first format is the one that counts when none is asked for.</summary>
    public static Option<string> Create(params string[] formats)
    {
        var option = new Option<string>("--format")
        {
            Description = $"Form of the result: {string.Join(" or ", formats)}",
            HelpName = string.Join("|", formats),
            DefaultValueFactory = _ => formats[0],
        };
        return option.AcceptOnlyFromAmong(formats);
    }
}
