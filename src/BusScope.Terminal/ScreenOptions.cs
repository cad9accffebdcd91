using BusScope.Signals.Editing;

namespace BusScope.Terminal;

/// <summary>How the screen is to look and behave.</summary>
public sealed record ScreenOptions
{
    /// <summary>The refresh rates that can be asked for, in pictures a second.</summary>
    public static IReadOnlyList<int> RefreshRates { get; } = [2, 5, 10, 20];

    /// <summary>Pictures a second, one of <see cref="RefreshRates"/>; fewer for a slow line.</summary>
    public int Refresh { get; init; } = 20;

    /// <summary>Nothing beyond ASCII on the screen.</summary>
    public bool IsAscii { get; init; }

    /// <summary>No colours: weight and reversal only. The caller sets it for NO_COLOR.</summary>
    public bool IsMonochrome { get; init; }

    /// <summary>One line of caution that stays on the screen, where what is shown leads somebody to crank or launch; or null.</summary>
    public string? Caution { get; init; }

    /// <summary>What is said when the screen opens, a sentence; or null.</summary>
    public string? Notice { get; init; }

    /// <summary>Where screen shots are written; the folder in which the program was started where nothing else is said.</summary>
    public string PictureFolder { get; init; } = ".";

    /// <summary>Adds the signals that are defined at the screen to definition files; null where nothing can be written.</summary>
    public SignalAddition? Additions { get; init; }

    /// <summary>What was remembered from the time before.</summary>
    public ScreenMemory Memory { get; init; } = new();

    /// <summary>Keeps what is to be remembered, and says why it could not, or null; null where nothing is kept.</summary>
    public Func<ScreenMemory, string?>? Remember { get; init; }
}
