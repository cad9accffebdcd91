using System.Diagnostics;
using System.Text;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class HostileTextTests
{
    private static readonly string[] pieces =
        ["\t", "\n", "  ", ":", "- ", "{", "}", "[", "]", "\"", "'", "&a ", "*a", "!!x ", "|\n", ">\n", "#", "?", ",", "\0", "\u001B[2J", "\uFFFF", "\uD800", "ä", "---\n", "...\n", "..", "-1", "99999999999999999999", "0x", "1e999", "NaN", "%", "@", "`", "<<: *a", "\r", "\u2028"];

    [Fact]
    public void Any_mutation_of_a_good_file_is_answered_without_an_exception()
    {
        var good = File.ReadAllText(RepoFiles.Path("signal-defs", "template.yaml"));

        Mutations(good).Sample(text => Answered(text), iter: 600);
    }

    [Fact]
    public void Any_mutation_of_a_documented_example_is_answered_without_an_exception()
    {
        var examples = DiagnosticsDocument.Parts.Select(part => part.Example).Where(example => example.Length > 0).ToArray();

        OneOf(examples).SelectMany(Mutations).Sample(text => Answered(text), iter: 3_000);
    }

    [Fact]
    public void Any_prefix_of_a_good_file_is_answered_without_an_exception()
    {
        var good = DefinitionLoaderTests.Whole;

        for (var length = 0; length < good.Length; length += 3)
        {
            Assert.True(Answered(good[..length]));
        }
    }

    [Fact]
    public void Nothing_from_the_file_reaches_a_terminal_as_a_command()
    {
        var text = "busscope: 1\n\"ti\\e]0;x\\atle\": x\nmodules: { \"a\u202Eb\": { titel: \"\u001B[31m\" } }\n";

        var result = DefinitionLoader.LoadText(text, "evil\u001B[2J.yaml");

        var shown = DiagnosticText.Render(result.Diagnostics, result.Sources);
        Assert.DoesNotContain(shown, c => c != '\n' && (char.IsControl(c) || c == '\u202E'));
    }

    [Theory]
    [InlineData("[", 200_000)]
    [InlineData("{a: ", 100_000)]
    [InlineData("- ", 200_000)]
    [InlineData("? ", 200_000)]
    public void Deep_nesting_ends_early(string piece, int times)
    {
        var text = "busscope: 1\ntitle: \n " + string.Concat(Enumerable.Repeat(piece, times));

        Assert.True(Answered(text));
    }

    [Fact]
    public void A_million_keys_are_answered_in_bounded_time()
    {
        var text = new StringBuilder("busscope: 1\nmessages:\n  Speed:\n    id: 1\n    signals:\n");
        for (var i = 0; i < 100_000; i++)
        {
            text.Append($"      S{i}: {{ byte: 0 }}\n");
        }

        var faults = DefinitionLoader.LoadText(text.ToString(), "many.yaml").Diagnostics;

        Assert.Contains(faults, fault => fault.Code == "out-of-bounds");
    }

    [Fact]
    public void The_generated_file_of_a_thousand_signals_loads_in_a_fraction_of_a_second()
    {
        var path = RepoFiles.Path("..", "perf", "big.yaml");
        Assert.SkipUnless(File.Exists(path), "the generated definition file is absent");
        var text = File.ReadAllText(path);
        DefinitionLoader.LoadText(text, "big.yaml");

        var start = Stopwatch.GetTimestamp();
        DefinitionLoader.LoadText(text, "big.yaml");
        var took = Stopwatch.GetElapsedTime(start);

        // Some tens of milliseconds on an idle machine; the bound only catches a change of order of growth.
        TestContext.Current.TestOutputHelper?.WriteLine($"{took.TotalMilliseconds:0.0} ms");
        Assert.True(took < TimeSpan.FromSeconds(1), $"{took.TotalMilliseconds} ms");
    }

    private static bool Answered(string text)
    {
        var result = DefinitionLoader.LoadText(text, "any.yaml");
        var shown = DiagnosticText.Render(result.Diagnostics, result.Sources);
        return (result.Definitions is null) == result.Diagnostics.Any(fault => fault.Severity == Severity.Error)
            && result.Diagnostics.All(fault => fault.Place.Line >= 1 && fault.Place.Column >= 1 && fault.Place.Length >= 1)
            && !shown.Contains('\u001B', StringComparison.Ordinal);
    }

    // One to four places: cut out, put in, doubled, or swapped with another part of the text.
    private static Gen<string> Mutations(string text) =>
        from changes in Gen.Select(Gen.Int[0, 3], Gen.Int[0, Math.Max(0, text.Length - 1)], Gen.Int[0, 40], OneOf(pieces)).Array[1, 4]
        select changes.Aggregate(text, (changed, change) => Mutate(changed, change.Item1, change.Item2, change.Item3, change.Item4));

    private static Gen<string> OneOf(string[] choices) => Gen.Int[0, choices.Length - 1].Select(index => choices[index]);

    private static string Mutate(string text, int kind, int at, int length, string piece)
    {
        at = Math.Min(at, text.Length);
        length = Math.Min(length, text.Length - at);
        return kind switch
        {
            0 => text.Remove(at, length),
            1 => text.Insert(at, piece),
            2 => text.Insert(at, text.Substring(at, length)),
            _ => text.Remove(at, length).Insert(Math.Min(at / 2, text.Length - length), text.Substring(at, length)),
        };
    }
}
