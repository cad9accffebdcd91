using System.CommandLine;
using BusScope.Cli.Settings;
using BusScope.Terminal;

namespace BusScope.Cli.Options;

/// <summary>How the screen looks: the same options for every command that shows one.</summary>
internal sealed class ScreenSettings
{
    private readonly Option<bool> ascii = new("--ascii") { Description = "Nothing beyond ASCII on the screen" };

    private readonly Option<int> refresh = new("--refresh")
    {
        Description = $"Pictures a second: {string.Join(", ", ScreenOptions.RefreshRates)}; fewer for a slow line",
        HelpName = "RATE",
        DefaultValueFactory = _ => new ScreenOptions().Refresh,
    };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        refresh.Validators.Add(result =>
        {
            if (result.Tokens.Count == 1 && !ScreenOptions.RefreshRates.Any(rate => rate.ToString() == result.Tokens[0].Value))
            {
                result.AddError($"'{result.Tokens[0].Value}' is no refresh rate: choose {string.Join(", ", ScreenOptions.RefreshRates)}.");
            }
        });
        command.Options.Add(ascii);
        command.Options.Add(refresh);
    }

    /// <summary>What was asked for; what was not, by the settings file; what that does not say either, as usual.</summary>
    public ScreenOptions Read(ParseResult parsed, ProgramConsole console)
    {
        var file = console.SettingsPath is { } path ? new SettingsFile(path) : null;
        var settings = file?.Read() ?? new ProgramSettings();
        foreach (var fault in settings.Faults)
        {
            console.Say($"settings: {fault}");
        }

        var typed = parsed.GetResult(refresh) is { Implicit: false } ? parsed.GetValue(refresh) : (int?)null;
        return new ScreenOptions
        {
            IsAscii = parsed.GetValue(ascii) || settings.Ascii == true,
            Refresh = typed ?? settings.Refresh ?? new ScreenOptions().Refresh,
            IsMonochrome = !console.WantsColour,
            Notice = settings.Faults switch
            {
                [] => null,
                [var only] => $"settings: {file!.ReasonFirst(only)}",
                [var first, ..] all => $"settings: {file!.ReasonFirst(first)}, and {all.Count - 1} more, which stand here when you leave",
            },
            Memory = new ScreenMemory { Watched = settings.Watch, Traced = settings.Trace, IsUs = settings.Units == "us" },
            Remember = file is null ? null : file.Remember,
        };
    }
}
