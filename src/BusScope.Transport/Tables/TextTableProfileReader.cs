using System.Globalization;
using System.Text.RegularExpressions;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using YamlDotNet.Core;
using YamlDotNet.RepresentationModel;

namespace BusScope.Transport.Tables;

/// <summary>The outcome of reading a profile.</summary>
/// <param name="Profile">The profile, or null where an error stands among the diagnostics.</param>
/// <param name="Diagnostics">All faults at once, in the order of the text.</param>
public sealed record TextTableProfileResult(TextTableProfile? Profile, IReadOnlyList<Diagnostic> Diagnostics);

/// <summary>Reads the YAML profile of a text table; every key is described in docs/captures-text-tables.md.</summary>
public static class TextTableProfileReader
{
    /// <summary>The largest profile in characters.</summary>
    public const int LongestText = 64 * 1024;

    private static readonly TimeSpan patternTimeout = TimeSpan.FromMilliseconds(100);

    private static readonly Dictionary<string, ColumnRole> columnRoles = new(StringComparer.Ordinal)
    {
        ["time"] = ColumnRole.Time,
        ["id"] = ColumnRole.Id,
        ["extended"] = ColumnRole.Extended,
        ["bus"] = ColumnRole.Bus,
        ["direction"] = ColumnRole.Direction,
        ["length"] = ColumnRole.Length,
        ["dlc"] = ColumnRole.LengthCode,
        ["fd"] = ColumnRole.FlexibleDataRate,
        ["brs"] = ColumnRole.BitRateSwitch,
        ["esi"] = ColumnRole.ErrorStateIndicator,
        ["remote"] = ColumnRole.Remote,
        ["error"] = ColumnRole.Error,
    };

    private static readonly Dictionary<string, Action<ProfileNode, Draft>> columnKeys = columnRoles
        .Select(r => KeyValuePair.Create<string, Action<ProfileNode, Draft>>(r.Key, (n, d) => d.Columns[r.Value] = n.Text() ?? ""))
        .Append(KeyValuePair.Create<string, Action<ProfileNode, Draft>>("data", TakeData))
        .ToDictionary(StringComparer.Ordinal);

    private static readonly Dictionary<string, Action<ProfileNode, Draft>> timeKeys = new(StringComparer.Ordinal)
    {
        ["unit"] = (n, d) => d.Profile = d.Profile with { TimeUnit = n.OneOf(HeaderNames.Units, "s, ms, us or ns") },
        ["base"] = (n, d) => d.Profile = d.Profile with { TimeOffset = Base(n) },
        ["wraps-after"] = (n, d) => d.Profile = d.Profile with { WrapsAfter = Period(n) },
    };

    private static readonly Dictionary<string, Action<ProfileNode, Draft>> idKeys = new(StringComparer.Ordinal)
    {
        ["base"] = (n, d) => d.Profile = d.Profile with { IdIsDecimal = n.OneOf(new Dictionary<string, bool> { ["hex"] = false, ["decimal"] = true }, "hex or decimal") ?? false },
        ["extended"] = (n, d) => d.Profile = d.Profile with { IdIsExtended = n.Flag() },
    };

    private static readonly Dictionary<string, Action<ProfileNode, Draft>> keys = new(StringComparer.Ordinal)
    {
        ["separator"] = (n, d) => d.Profile = d.Profile with { Separator = Separator(n) },
        ["header"] = (n, d) => d.Profile = d.Profile with { HasHeader = n.Flag() ?? true },
        ["skip-lines"] = (n, d) => d.Profile = d.Profile with { SkipLines = n.Whole(0, 10_000) ?? 0 },
        ["comment"] = (n, d) => d.Profile = d.Profile with { Comment = n.Text() },
        ["columns"] = (n, d) => n.EachKey(columnKeys, d),
        ["line"] = (n, d) => d.Profile = d.Profile with { Line = Pattern(n) },
        ["time"] = (n, d) => n.EachKey(timeKeys, d),
        ["id"] = (n, d) => n.EachKey(idKeys, d),
        ["bus"] = (n, d) => d.Profile = d.Profile with { Bus = n.Text() },
        ["padded"] = (n, d) => d.Profile = d.Profile with { IsPadded = n.Flag() ?? false },
    };

    /// <summary>Every key with its path (<c>time.unit</c>), for the document.</summary>
    public static IEnumerable<string> Keys =>
        [.. keys.Keys, .. columnKeys.Keys.Select(k => "columns." + k), .. timeKeys.Keys.Select(k => "time." + k), .. idKeys.Keys.Select(k => "id." + k)];

    /// <summary>Reads a profile file.</summary>
    /// <exception cref="SourceException">The file cannot be read.</exception>
    public static TextTableProfileResult Load(string path)
    {
        try
        {
            using var reader = new StreamReader(path);
            var text = new char[LongestText + 1];
            var count = reader.ReadBlock(text);
            return Parse(new string(text, 0, count), path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new SourceException($"{path}: cannot be read: {e.Message}", e);
        }
    }

    /// <summary>Reads a profile from a text.</summary>
    public static TextTableProfileResult Parse(string text, string fileName)
    {
        ArgumentNullException.ThrowIfNull(text);
        var faults = new List<Diagnostic>();
        if (text.Length > LongestText)
        {
            faults.Add(new Diagnostic("profile-too-long", Severity.Error, new TextPlace(fileName, 1, 1), $"the profile is longer than {LongestText} characters"));
            return new TextTableProfileResult(null, faults);
        }

        var draft = new Draft();
        try
        {
            var yaml = new YamlStream();
            yaml.Load(new StringReader(text));
            if (yaml.Documents.Count > 0)
            {
                new ProfileNode(yaml.Documents[0].RootNode, fileName, faults).EachKey(keys, draft);
            }
        }
        catch (Exception e) when (e is YamlException or InvalidOperationException or ArgumentException)
        {
            var at = (e as YamlException)?.Start ?? Mark.Empty;
            faults.Add(new Diagnostic("yaml-malformed", Severity.Error, new TextPlace(fileName, (int)Math.Max(at.Line, 1), (int)Math.Max(at.Column, 1)), e.Message));
        }

        var profile = draft.Profile with { Columns = draft.Columns, DataColumns = draft.DataColumns };
        return new TextTableProfileResult(faults.Count == 0 ? profile : null, faults);
    }

    private static byte? Separator(ProfileNode node) => node.Text() switch
    {
        "comma" => (byte)',',
        "semicolon" => (byte)';',
        "tab" => (byte)'\t',
        "blanks" => (byte)' ',
        [> ' ' and < '\u007F' and not '"' and not '.' and var mark] when !char.IsLetterOrDigit(mark) => (byte)mark,
        var other => node.Fault<byte>("separator-unknown", $"\"{other}\" is no separator", "comma, semicolon, tab, blanks, or one mark such as |"),
    };

    private static Regex? Pattern(ProfileNode node)
    {
        try
        {
            // Without backtracking no line can take longer than its length; the timeout is a second guard.
            var pattern = new Regex(node.Text() ?? "", RegexOptions.NonBacktracking | RegexOptions.CultureInvariant, patternTimeout);
            if (!new PatternSplitter(pattern).Columns.AreEnough)
            {
                _ = node.Fault<byte>("pattern-incomplete", "the line pattern needs groups named time, id, and data or length", "write (?<time>…), (?<id>…), (?<data>…)");
            }

            return pattern;
        }
        catch (Exception e) when (e is ArgumentException or NotSupportedException)
        {
            _ = node.Fault<byte>("pattern-invalid", CleanText.Clean(e.Message), "a pattern without look-around and back references");
            return null;
        }
    }

    private static FrameSpan Base(ProfileNode node)
    {
        var text = node.Text() ?? "";
        if (decimal.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var seconds)
            && Math.Abs(seconds) < 9_000_000_000)
        {
            return new FrameSpan((long)(seconds * FrameSpan.NanosecondsPerSecond));
        }

        if (DateTimeOffset.TryParse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var moment) && moment.Year is > 1677 and < 2262)
        {
            return new FrameSpan((moment - DateTimeOffset.UnixEpoch).Ticks * 100);
        }

        _ = node.Fault<byte>("time-base-unknown", $"\"{text}\" is no moment", "2026-05-01T10:00:00Z, or seconds since 1970-01-01");
        return FrameSpan.Zero;
    }

    private static FrameSpan? Period(ProfileNode node)
    {
        var parts = (node.Text() ?? "").Split(' ', StringSplitOptions.RemoveEmptyEntries);
        if (parts.Length == 2 && double.TryParse(parts[0], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number)
            && (parts[1] == "min" ? 60 * FrameSpan.NanosecondsPerSecond : HeaderNames.Units.GetValueOrDefault(parts[1])) is > 0 and var unit
            && number * unit is >= FrameSpan.NanosecondsPerMillisecond and < 1e18)
        {
            return new FrameSpan((long)Math.Round(number * unit));
        }

        _ = node.Fault<byte>("period-unknown", $"\"{node.Text()}\" is no length of time", "60 s, 1 min, 65536 us");
        return null;
    }

    private static void TakeData(ProfileNode node, Draft draft)
    {
        var items = node.Items();
        if (items is not null)
        {
            draft.DataColumns.AddRange(items.Select(i => i.Text() ?? ""));
        }
        else if (node.Text() is { } text && text.Split("..") is [var first, var last]
            && int.TryParse(first, NumberStyles.None, CultureInfo.InvariantCulture, out var from) && int.TryParse(last, NumberStyles.None, CultureInfo.InvariantCulture, out var to))
        {
            if (from < 1 || to < from || to - from >= TableColumns.MostDataColumns)
            {
                _ = node.Fault<byte>("data-columns-impossible", $"\"{text}\" are no data columns", "at most 64 columns, counted from 1: 6..13");
                return;
            }

            draft.DataColumns.AddRange(Enumerable.Range(from, to - from + 1).Select(c => c.ToString(CultureInfo.InvariantCulture)));
        }
        else
        {
            draft.Columns[ColumnRole.Data] = node.Text() ?? "";
        }

        if (draft.DataColumns.Count > TableColumns.MostDataColumns)
        {
            _ = node.Fault<byte>("data-columns-impossible", $"{draft.DataColumns.Count} data columns", "at most 64");
        }
    }

    /// <summary>A profile in the making.</summary>
    internal sealed class Draft
    {
        /// <summary>What is known so far, but for the columns.</summary>
        public TextTableProfile Profile { get; set; } = new();

        /// <summary>Columns by role.</summary>
        public Dictionary<ColumnRole, string> Columns { get; } = [];

        /// <summary>Columns of single data bytes.</summary>
        public List<string> DataColumns { get; } = [];
    }
}
