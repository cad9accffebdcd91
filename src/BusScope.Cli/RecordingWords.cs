using System.Globalization;
using BusScope.Reports.Layout;
using BusScope.Transport.Recording;

namespace BusScope.Cli;

/// <summary>How a recording stands, in one line for a person.</summary>
internal static class RecordingWords
{
    /// <summary>What was written: <c>drive.pcapng: 1,234 frames, 59.2 kB</c>.</summary>
    public static string Of(RecordingStatus status)
    {
        var files = status.Files > 1 ? $" in {Figures.Of(status.Files, "file")}" : "";
        var removed = status.Removed > 0 ? $", the oldest {status.Removed} removed" : "";
        return $"{status.Path}: {Figures.Of(status.Frames, "frame")}, {Size(status.Bytes)}{files}{removed}{Losses(status)}";
    }

    /// <summary>While it goes on.</summary>
    /// <param name="status">The recording.</param>
    /// <param name="passed">How long it has gone on.</param>
    public static string While(RecordingStatus status, TimeSpan passed)
    {
        var time = passed.ToString(passed.TotalHours >= 1 ? @"h\:mm\:ss" : @"m\:ss", CultureInfo.InvariantCulture);
        return status.IsWaiting ? $"waiting {time} for the trigger" : $"recording {time}: {Figures.Of(status.Frames, "frame")}, {Size(status.Bytes)}{Losses(status)}";
    }

    private static string Losses(RecordingStatus status) =>
        (status.Lost > 0 ? $", {Figures.Of(status.Lost, "frame")} lost by the adapter" : "")
        + (status.Waits > 0 ? $", waited {Figures.Of(status.Waits, "time")} for the disk" : "")
        + (status.NoRoomBefore > 0 ? $", {Figures.Of(status.NoRoomBefore, "frame")} before the trigger had no room in memory" : "");

    private static string Size(long bytes) => bytes switch
    {
        < 1_000_000 => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e3:0.#} kB"),
        < 1_000_000_000 => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e6:0.#} MB"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e9:0.##} GB"),
    };
}
