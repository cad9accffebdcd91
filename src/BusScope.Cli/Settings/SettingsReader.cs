using System.Globalization;
using BusScope.Terminal;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace BusScope.Cli.Settings;

/// <summary>Reads the text of a settings file: a mapping of a few keys to values and lists. What is wrong is told by line, and the rest holds.</summary>
internal static class SettingsReader
{
    /// <summary>Keys of the file.</summary>
    public const string Units = "units", Refresh = "refresh", Ascii = "ascii", Watch = "watch", Trace = "trace";

    /// <summary>The most signals of a list that are taken.</summary>
    public const int MostSignals = 1_000;

    private static readonly string[] UnitWords = ["metric", "us"];

    /// <summary>Reads a text.</summary>
    /// <param name="text">The text; empty for no settings.</param>
    /// <param name="name">What a person calls the file.</param>
    public static ProgramSettings Read(string text, string name)
    {
        var faults = new List<string>();
        var settings = new ProgramSettings();
        try
        {
            var parser = new Parser(new StringReader(text));
            parser.Consume<StreamStart>();
            if (parser.TryConsume<DocumentStart>(out _))
            {
                settings = Document(parser, settings, (mark, what) => faults.Add($"{name}:{mark.Line}: {what}"));
                parser.Consume<DocumentEnd>();
                parser.Consume<StreamEnd>();
            }
        }
        catch (YamlException fault)
        {
            faults.Add($"{name}:{fault.Start.Line}: not readable as YAML: {fault.Message}");
        }

        return settings with { Faults = faults };
    }

    private static ProgramSettings Document(Parser parser, ProgramSettings settings, Action<Mark, string> fault)
    {
        if (!parser.TryConsume<MappingStart>(out _))
        {
            if (parser.Current is not Scalar { Value: "" })
            {
                fault(parser.Current?.Start ?? Mark.Empty, "a mapping of settings is expected, such as 'units: us'");
            }

            parser.SkipThisAndNestedEvents();
            return settings;
        }

        while (!parser.TryConsume<MappingEnd>(out _))
        {
            if (!parser.TryConsume<Scalar>(out var key))
            {
                fault(parser.Current?.Start ?? Mark.Empty, "a key is expected");
                parser.SkipThisAndNestedEvents();
                parser.SkipThisAndNestedEvents();
                continue;
            }

            settings = Value(parser, key, settings, fault);
        }

        return settings;
    }

    private static ProgramSettings Value(Parser parser, Scalar key, ProgramSettings settings, Action<Mark, string> fault)
    {
        switch (key.Value)
        {
            case Units: return settings with { Units = One(parser, key, word => Array.IndexOf(UnitWords, word) >= 0, string.Join(" or ", UnitWords), fault) ?? settings.Units };
            case Refresh:
                var rate = One(parser, key, word => int.TryParse(word, CultureInfo.InvariantCulture, out var number) && ScreenOptions.RefreshRates.Contains(number), string.Join(", ", ScreenOptions.RefreshRates), fault);
                return settings with { Refresh = rate is null ? settings.Refresh : int.Parse(rate, CultureInfo.InvariantCulture) };
            case Ascii:
                var ascii = One(parser, key, word => word is "true" or "false", "true or false", fault);
                return settings with { Ascii = ascii is null ? settings.Ascii : ascii == "true" };
            case Watch: return settings with { Watch = Many(parser, key, fault) };
            case Trace: return settings with { Trace = Many(parser, key, fault) };
            default:
                fault(key.Start, $"'{key.Value}' is no setting: {Units}, {Refresh}, {Ascii}, {Watch}, {Trace}");
                parser.SkipThisAndNestedEvents();
                return settings;
        }
    }

    private static string? One(Parser parser, Scalar key, Func<string, bool> isGood, string expected, Action<Mark, string> fault)
    {
        if (parser.Current is Scalar value && isGood(value.Value))
        {
            parser.MoveNext();
            return value.Value;
        }

        fault(parser.Current?.Start ?? key.Start, $"{key.Value}: expected {expected}");
        parser.SkipThisAndNestedEvents();
        return null;
    }

    private static List<string> Many(Parser parser, Scalar key, Action<Mark, string> fault)
    {
        var names = new List<string>();
        if (!parser.TryConsume<SequenceStart>(out _))
        {
            fault(parser.Current?.Start ?? key.Start, $"{key.Value}: expected a list of signals, such as '- EngineSpeed/EngineSpeed'");
            parser.SkipThisAndNestedEvents();
            return names;
        }

        while (!parser.TryConsume<SequenceEnd>(out _))
        {
            if (parser.Current is Scalar { Value.Length: > 0 } name && names.Count < MostSignals)
            {
                names.Add(name.Value);
            }
            else
            {
                fault(parser.Current?.Start ?? key.Start, $"{key.Value}: expected the name of a signal, and no more than {MostSignals}");
            }

            parser.SkipThisAndNestedEvents();
        }

        return names;
    }
}
