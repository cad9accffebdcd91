using System.Globalization;
using BusScope.Frames;

namespace BusScope.Terminal.Screens;

/// <summary>A moment of a recording as a person types it: since its beginning, or from where the replay stands.</summary>
internal static class MomentText
{
    /// <summary>What can be typed, in a few words.</summary>
    public const string Forms = "1:23.5, 83.5, +10, -10";

    /// <summary>A time since the beginning as the screen shows it: <c>1:23.5</c>.</summary>
    public static string Of(FrameSpan since)
    {
        var tenths = (long)(since.Seconds * 10);
        return tenths < 36_000
            ? string.Create(CultureInfo.InvariantCulture, $"{tenths / 600}:{tenths / 10 % 60:D2}.{tenths % 10}")
            : string.Create(CultureInfo.InvariantCulture, $"{tenths / 36_000}:{tenths / 600 % 60:D2}:{tenths / 10 % 60:D2}.{tenths % 10}");
    }

    /// <summary>Reads seconds, minutes and seconds, or hours, minutes and seconds; with a sign in front, from here.</summary>
    /// <param name="text">What was typed; a unit <c>s</c> may stand behind it.</param>
    /// <param name="first">The beginning of the recording.</param>
    /// <param name="now">Where the replay stands.</param>
    /// <returns>The moment, or null where the text is none.</returns>
    public static FrameTime? Read(string text, FrameTime first, FrameTime now)
    {
        var rest = text.AsSpan().Trim();
        rest = rest.EndsWith("s") ? rest[..^1].TrimEnd() : rest;
        var sign = rest.StartsWith("+") ? 1 : rest.StartsWith("-") ? -1 : 0;
        rest = sign == 0 ? rest : rest[1..].TrimStart();
        var seconds = 0.0;
        var parts = 0;
        foreach (var part in rest.Split(':'))
        {
            var isLast = part.End.Value == rest.Length;
            if (++parts > 3 || !double.TryParse(rest[part], isLast ? NumberStyles.AllowDecimalPoint : NumberStyles.None, CultureInfo.InvariantCulture, out var figure)
                || !double.IsFinite(figure) || (parts > 1 && figure >= 60))
            {
                return null;
            }

            seconds = (seconds * 60) + figure;
        }

        // Longer than any recording; beyond it a time in nanoseconds has no room.
        return seconds > 1e9 ? null : (sign == 0 ? first : now) + FrameSpan.FromSeconds(sign < 0 ? -seconds : seconds);
    }
}
