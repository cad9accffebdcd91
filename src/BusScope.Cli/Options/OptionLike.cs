using System.CommandLine;
using BusScope.Signals.Loading;

namespace BusScope.Cli.Options;

/// <summary>An argument that takes any number of words would take a misspelled option for a file: it is told instead.</summary>
internal static class OptionLike
{
    /// <summary>Makes words that start with a hyphen an error of this argument; a lone hyphen is standard input.</summary>
    /// <param name="argument">The argument.</param>
    /// <param name="command">Whose options may have been meant.</param>
    public static void Reject(Argument argument, Command command) => argument.Validators.Add(result =>
    {
        foreach (var token in result.Tokens)
        {
            if (token.Value.Length > 1 && token.Value[0] == '-')
            {
                var hint = Suggestion.For(token.Value, command.Options.Select(option => option.Name)) ?? $"a file of that name is './{token.Value}'";
                result.AddError($"there is no option '{token.Value}': {hint}");
            }
        }
    });
}
