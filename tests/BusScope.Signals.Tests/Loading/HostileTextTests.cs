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
    public void What_loading_allocates_grows_with_the_file_and_not_faster()
    {
        var (few, many) = (Allocation.Of(Load(50)), Allocation.Of(Load(400)));

        Assert.InRange(many, few, 10 * few);

        static Action Load(int messages)
        {
            var text = "busscope: 1\nmessages:\n" + string.Concat(Enumerable.Range(0, messages).Select(i =>
                $"  M{i}:\n    id: {i}\n    signals:\n" + string.Concat(Enumerable.Range(0, 8).Select(byteNumber => $"      S{i}B{byteNumber}: {{ byte: {byteNumber}, scale: 0.5 }}\n"))));
            return () => Assert.NotNull(DefinitionLoader.LoadText(text, "many.yaml").Definitions);
        }
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
