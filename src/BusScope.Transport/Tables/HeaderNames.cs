using System.Globalization;
using BusScope.Frames;

namespace BusScope.Transport.Tables;

/// <summary>The names of columns that are understood without a profile. Case, blanks and punctuation do not matter.</summary>
internal static class HeaderNames
{
    private static readonly Dictionary<string, ColumnRole> roles = new(StringComparer.Ordinal)
    {
        ["time"] = ColumnRole.Time,
        ["timestamp"] = ColumnRole.Time,
        ["ts"] = ColumnRole.Time,
        ["t"] = ColumnRole.Time,
        ["id"] = ColumnRole.Id,
        ["identifier"] = ColumnRole.Id,
        ["canid"] = ColumnRole.Id,
        ["canidentifier"] = ColumnRole.Id,
        ["messageid"] = ColumnRole.Id,
        ["frameid"] = ColumnRole.Id,
        ["arbitrationid"] = ColumnRole.Id,
        ["idhex"] = ColumnRole.Id,
        ["extended"] = ColumnRole.Extended,
        ["ext"] = ColumnRole.Extended,
        ["ide"] = ColumnRole.Extended,
        ["isextended"] = ColumnRole.Extended,
        ["bus"] = ColumnRole.Bus,
        ["channel"] = ColumnRole.Bus,
        ["ch"] = ColumnRole.Bus,
        ["interface"] = ColumnRole.Bus,
        ["network"] = ColumnRole.Bus,
        ["direction"] = ColumnRole.Direction,
        ["dir"] = ColumnRole.Direction,
        ["rxtx"] = ColumnRole.Direction,
        ["length"] = ColumnRole.Length,
        ["len"] = ColumnRole.Length,
        ["size"] = ColumnRole.Length,
        ["datalength"] = ColumnRole.Length,
        ["bytes"] = ColumnRole.Length,
        ["dlc"] = ColumnRole.LengthCode,
        ["datalengthcode"] = ColumnRole.LengthCode,
        ["data"] = ColumnRole.Data,
        ["payload"] = ColumnRole.Data,
        ["databytes"] = ColumnRole.Data,
        ["datahex"] = ColumnRole.Data,
        ["fd"] = ColumnRole.FlexibleDataRate,
        ["fdf"] = ColumnRole.FlexibleDataRate,
        ["canfd"] = ColumnRole.FlexibleDataRate,
        ["isfd"] = ColumnRole.FlexibleDataRate,
        ["brs"] = ColumnRole.BitRateSwitch,
        ["bitrateswitch"] = ColumnRole.BitRateSwitch,
        ["esi"] = ColumnRole.ErrorStateIndicator,
        ["errorstateindicator"] = ColumnRole.ErrorStateIndicator,
        ["remote"] = ColumnRole.Remote,
        ["rtr"] = ColumnRole.Remote,
        ["isremote"] = ColumnRole.Remote,
        ["error"] = ColumnRole.Error,
        ["iserror"] = ColumnRole.Error,
        ["errorframe"] = ColumnRole.Error,
    };

    /// <summary>The names, for the document.</summary>
    public static IReadOnlyDictionary<string, ColumnRole> Known => roles;

    /// <summary>The units of time by name, in nanoseconds.</summary>
    public static IReadOnlyDictionary<string, long> Units { get; } = new Dictionary<string, long>(StringComparer.Ordinal)
    {
        ["s"] = FrameSpan.NanosecondsPerSecond,
        ["sec"] = FrameSpan.NanosecondsPerSecond,
        ["seconds"] = FrameSpan.NanosecondsPerSecond,
        ["ms"] = FrameSpan.NanosecondsPerMillisecond,
        ["milliseconds"] = FrameSpan.NanosecondsPerMillisecond,
        ["us"] = FrameSpan.NanosecondsPerMicrosecond,
        ["\u00B5s"] = FrameSpan.NanosecondsPerMicrosecond,
        ["\u03BCs"] = FrameSpan.NanosecondsPerMicrosecond,
        ["microseconds"] = FrameSpan.NanosecondsPerMicrosecond,
        ["ns"] = 1,
        ["nanoseconds"] = 1,
    };

    /// <summary>What a name means: its role, for a time the unit where the name has one.</summary>
    public static bool TryRole(string name, out ColumnRole role, out long? unit)
    {
        unit = null;
        var words = Words(name);
        if (roles.TryGetValue(string.Concat(words), out role))
        {
            return true;
        }

        if (words.Count > 1 && Units.TryGetValue(words[^1], out var nanoseconds)
            && roles.TryGetValue(string.Concat(words.SkipLast(1)), out role) && role == ColumnRole.Time)
        {
            unit = nanoseconds;
            return true;
        }

        return false;
    }

    /// <summary>The number of a single data byte: <c>d0</c>, <c>D1</c>, <c>data 3</c>, <c>byte_7</c>; -1 for another name.</summary>
    public static int DataByte(string name)
    {
        var joined = string.Concat(Words(name));
        var digits = joined.AsSpan().TrimStart("abdtye");
        var letters = joined.AsSpan(0, joined.Length - digits.Length);
        return letters is "d" or "b" or "data" or "byte" or "databyte" && int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            && number <= TableColumns.MostDataColumns ? number : -1;
    }

    private static List<string> Words(string name)
    {
        var words = new List<string>();
        var start = -1;
        for (var i = 0; i <= name.Length; i++)
        {
            if (i < name.Length && char.IsLetterOrDigit(name[i]))
            {
                start = start < 0 ? i : start;
            }
            else if (start >= 0)
            {
                words.Add(name[start..i].ToLowerInvariant());
                start = -1;
            }
        }

        return words;
    }
}
