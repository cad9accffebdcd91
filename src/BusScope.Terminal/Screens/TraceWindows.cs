using BusScope.Frames;

namespace BusScope.Terminal.Screens;

/// <summary>How far back a trace can reach.</summary>
internal static class TraceWindows
{
    /// <summary>The usual one.</summary>
    public const int Usual = 2;

    /// <summary>From the shortest to the longest.</summary>
    public static IReadOnlyList<FrameSpan> All { get; } =
        [.. new[] { 2.0, 5, 10, 30, 60, 120, 300, 900 }.Select(FrameSpan.FromSeconds)];

    /// <summary>What the sparklines of the page of signals show.</summary>
    public static FrameSpan Sparkline => All[Usual];
}
