using System.Reflection;

namespace BusScope.Cli;

/// <summary>Which program this is.</summary>
internal static class ProgramVersion
{
    /// <summary>Name, version, and the commit it was built from where that is known: <c>BusScope 0.1.0+5bf2501</c>.</summary>
    public static string Text { get; } = $"BusScope {Short(typeof(ProgramVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion)}";

    // Twelve digits tell commits apart and fit a line.
    private static string Short(string? version) =>
        version is null ? "of unknown version"
        : version.IndexOf('+', StringComparison.Ordinal) is var plus and > 0 && version.Length > plus + 13 ? version[..(plus + 13)]
        : version;
}
