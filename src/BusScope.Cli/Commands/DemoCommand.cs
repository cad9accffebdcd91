using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Demo;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;
using BusScope.Session;

namespace BusScope.Cli.Commands;

/// <summary><c>demo</c>: the main job on the built-in car.</summary>
internal static class DemoCommand
{
    /// <summary>The story that is told when none is asked for: the drive after the swap.</summary>
    private const string UsualStory = "swapped";

    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var plain = new Option<bool>("--plain") { Description = "Print the verdict, without the screen" };
        var story = new Option<string>("--story")
        {
            Description = $"Which story: {string.Join(", ", DemoStories.All.Select(each => each.Name))}",
            HelpName = "NAME",
            DefaultValueFactory = _ => UsualStory,
        };
        story.Validators.Add(result =>
        {
            if (result.Tokens is [var name] && DemoStories.All.All(each => each.Name != name.Value))
            {
                result.AddError($"there is no story '{name.Value}': {string.Join(", ", DemoStories.All.Select(each => each.Name))}");
            }
        });
        var captures = new Option<string?>("--write-captures") { Description = "Write pieces of the stories as captures into a folder, and end", HelpName = "FOLDER" };
        var screen = new ScreenSettings();
        var command = new Command("demo", "Shows the main job on a simulated car whose engine controller was replaced") { plain, story, captures };
        screen.AddTo(command);
        command.SetAction((parsed, cancellation) =>
        {
            if (parsed.GetValue(captures) is { } folder)
            {
                DemoCaptureFiles.Write(folder, console.Output, cancellation);
                return Task.FromResult(ExitStatus.Fine);
            }

            var name = parsed.GetRequiredValue(story);
            var definitions = DefinitionOptions.LoadBuiltIn(name);
            return Task.FromResult(parsed.GetValue(plain)
                ? Tell(console, name, definitions, cancellation)
                : Show(console, name, definitions, screen.Read(parsed, console)));
        });
        return command;
    }

    private static int Show(ProgramConsole console, string name, LoadedDefinitions definitions, Terminal.ScreenOptions options)
    {
        ScreenRun.Demand("'demo --plain' prints the verdict instead");
        return ScreenRun.Run(console, DemoSource.Open(name), definitions, options, () => DemoSource.Open(name));
    }

    // A demonstration that could be told is fine, whatever its verdict.
    private static int Tell(ProgramConsole console, string name, LoadedDefinitions definitions, CancellationToken cancellation)
    {
        var story = DemoStories.All.First(each => each.Name == name);
        Paragraph.Write(console.Output, CleanText.Clean($"{story.Title}. {story.Text}"), "Story    ", 9);
        console.Output.WriteLine();
        using var source = DemoSource.Open(name);
        var status = new CheckRun(console, definitions, new RunOptions()).Run(source, asJson: false, cancellation);
        return status == ExitStatus.Found ? ExitStatus.Fine : status;
    }
}
