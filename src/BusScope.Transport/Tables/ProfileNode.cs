using System.Globalization;
using BusScope.Frames.Diagnostics;
using YamlDotNet.RepresentationModel;

namespace BusScope.Transport.Tables;

/// <summary>One node of a profile, with its place; a fault is added to the list and reading goes on.</summary>
internal sealed class ProfileNode(YamlNode node, string file, List<Diagnostic> faults)
{
    private const int MostLettersOff = 2;

    /// <summary>Calls the reader of every key; a key without one is a fault.</summary>
    public void EachKey(IReadOnlyDictionary<string, Action<ProfileNode, TextTableProfileReader.Draft>> keys, TextTableProfileReader.Draft draft)
    {
        if (node is not YamlMappingNode mapping)
        {
            _ = Fault<byte>("not-a-mapping", "a value stands where keys are expected", string.Join(", ", keys.Keys));
            return;
        }

        foreach (var (key, value) in mapping.Children)
        {
            var name = (key as YamlScalarNode)?.Value ?? "";
            if (keys.TryGetValue(name, out var read))
            {
                read(new ProfileNode(value, file, faults), draft);
                continue;
            }

            var near = keys.Keys.MinBy(k => LettersOff(k, name));
            _ = new ProfileNode(key, file, faults).Fault<byte>(
                "unknown-key",
                $"unknown key \"{CleanText.Clean(name)}\"",
                near is not null && LettersOff(near, name) <= MostLettersOff ? $"did you mean \"{near}\"?" : "known here: " + string.Join(", ", keys.Keys));
        }
    }

    /// <summary>The scalar's text; a fault and null for anything else.</summary>
    public string? Text() => node is YamlScalarNode scalar ? scalar.Value ?? "" : FaultText();

    /// <summary>The items of a list; null where the node is none.</summary>
    public List<ProfileNode>? Items() => node is YamlSequenceNode list ? [.. list.Select(n => new ProfileNode(n, file, faults))] : null;

    /// <summary>Yes or no.</summary>
    public bool? Flag() => OneOf(new Dictionary<string, bool> { ["true"] = true, ["false"] = false }, "true or false");

    /// <summary>A whole number in a range.</summary>
    public int? Whole(int least, int most) =>
        Text() is not { } text ? null
            : int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number >= least && number <= most ? number
            : Fault<int>("not-a-number", $"\"{CleanText.Clean(text)}\" is no whole number from {least} to {most}", null);

    /// <summary>One of several words.</summary>
    public T? OneOf<T>(IReadOnlyDictionary<string, T> words, string expected)
        where T : struct =>
        Text() is not { } text ? null
            : words.TryGetValue(text, out var value) ? value
            : Fault<T>("value-unknown", $"\"{CleanText.Clean(text)}\" is not known here", expected);

    /// <summary>Adds a fault at this node.</summary>
    public T? Fault<T>(string code, string message, string? hint)
        where T : struct
    {
        faults.Add(new Diagnostic(code, Severity.Error, Place, message, hint));
        return null;
    }

    private TextPlace Place => new(file, (int)node.Start.Line, (int)node.Start.Column, Math.Max(1, (node as YamlScalarNode)?.Value?.Length ?? 1));

    private string? FaultText()
    {
        _ = Fault<byte>("not-a-text", "a list or keys stand where one value is expected", null);
        return null;
    }

    // Levenshtein's distance between two short names.
    private static int LettersOff(string known, string found)
    {
        if (found.Length > 2 * known.Length + MostLettersOff)
        {
            return int.MaxValue;
        }

        var row = Enumerable.Range(0, known.Length + 1).ToArray();
        for (var i = 1; i <= found.Length; i++)
        {
            var before = row[0]++;
            for (var j = 1; j <= known.Length; j++)
            {
                (before, row[j]) = (row[j], Math.Min(Math.Min(row[j], row[j - 1]) + 1, before + (found[i - 1] == known[j - 1] ? 0 : 1)));
            }
        }

        return row[^1];
    }
}
