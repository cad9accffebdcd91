namespace BusScope.Signals.Loading;

/// <summary>A key of the definition file.</summary>
/// <param name="Name">As written in the file.</param>
/// <param name="Accepts">What it takes, in a few words: <c>duration</c>, <c>byte range</c>.</param>
/// <param name="Meaning">What it says, one sentence without a full stop.</param>
/// <param name="IsNeeded">Whether the mapping is not whole without it.</param>
public sealed record DefinitionKey(string Name, string Accepts, string Meaning, bool IsNeeded = false);

/// <summary>The keys that one kind of mapping has. The loader reads by it; the schema and the document are compared with it.</summary>
/// <param name="Name">The kind of mapping, the name of its part in the schema: <c>message</c>.</param>
/// <param name="Keys">In the order of the document.</param>
public sealed record KeyTable(string Name, IReadOnlyList<DefinitionKey> Keys)
{
    private readonly Dictionary<string, DefinitionKey> byName = Keys.ToDictionary(key => key.Name, StringComparer.Ordinal);

    /// <summary>The key of this name, or null.</summary>
    public DefinitionKey? Find(string name) => byName.GetValueOrDefault(name);
}
