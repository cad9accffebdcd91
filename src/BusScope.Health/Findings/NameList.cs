using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>The names of messages as they stand in a sentence: the first few; the rest is in the report's rows.</summary>
internal static class NameList
{
    private const int MostNamed = 8;

    /// <summary>The names, behind commas.</summary>
    public static string Of(IReadOnlyCollection<DefinedMessage> messages) =>
        string.Join(", ", messages.Take(MostNamed).Select(message => message.Definition.Name)) + (messages.Count > MostNamed ? ", …" : "");

    /// <summary>The modules that live on any of them, each once.</summary>
    public static IReadOnlyList<string> Modules(IEnumerable<DefinedMessage> messages) =>
        [.. messages.SelectMany(message => message.Definition.NeededBy).Distinct(StringComparer.Ordinal)];
}
