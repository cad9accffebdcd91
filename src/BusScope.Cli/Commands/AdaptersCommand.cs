using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Reports.Adapters;
using BusScope.Transport.Adapters;
using BusScope.Transport.Kernel;
using BusScope.Transport.Pcan;

namespace BusScope.Cli.Commands;

/// <summary><c>adapters</c>: what can be listened to here, and what is wrong with it.</summary>
internal static class AdaptersCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var format = FormatOption.Create("text", "json");
        var command = new Command("adapters", "Lists what can be listened to here, what is wrong with it, and what to do about it");
        command.Options.Add(format);
        command.SetAction(parsed =>
        {
            var list = Look(console);
            if (parsed.GetValue(format) == "json")
            {
                AdaptersJson.Write(console.OutputBytes, list);
            }
            else
            {
                AdaptersText.Write(console.Output, list, console.Ink);
            }

            return ExitStatus.Fine;
        });
        return command;
    }

    private static AdapterList Look(ProgramConsole console)
    {
        var missing = KernelAdapters.MissingSupport();
        var pcan = PcanChannels.Adapters(console.PcanLibrary);
        return new AdapterList([.. KernelAdapters.List(), .. pcan.Adapters])
        {
            Notes = [.. missing is { } known ? [known.Note] : Array.Empty<string>(), .. pcan.Notes],
            Commands = missing is { } mend ? [mend.Command] : [],
        };
    }
}
