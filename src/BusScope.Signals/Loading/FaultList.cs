using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading;

/// <summary>Collects the faults of one loading. Bounded: a file of a million wrong keys is told in a thousand lines.</summary>
internal sealed class FaultList
{
    /// <summary>The most faults that are listed.</summary>
    public const int Capacity = 1_000;

    private readonly List<Diagnostic> list = [];
    private int unlisted;
    private TextPlace firstUnlisted;

    /// <summary>Whether an error was added.</summary>
    public bool HasErrors { get; private set; }

    /// <summary>Adds a fault.</summary>
    public void Add(FaultKind kind, TextPlace place, string message, string? hint = null, TextPlace? related = null)
    {
        HasErrors |= kind.Severity == Severity.Error;
        if (list.Count >= Capacity)
        {
            firstUnlisted = unlisted++ == 0 ? place : firstUnlisted;
            return;
        }

        list.Add(new Diagnostic(kind.Code, kind.Severity, place, message, hint) { Related = related });
    }

    /// <summary><c>did you mean 'length'?</c>, or null where no name is near, or where the fault will not be listed.</summary>
    public string? Suggest(string found, IEnumerable<string> names) => list.Count < Capacity ? Suggestion.For(found, names) : null;

    /// <summary>The faults by file in order of loading, then by line and column.</summary>
    public IReadOnlyList<Diagnostic> Sorted(IReadOnlyList<SourceText> sources)
    {
        var order = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var source in sources)
        {
            order.TryAdd(source.FileName, order.Count);
        }

        var sorted = list
            .OrderBy(fault => order.GetValueOrDefault(fault.Place.File, -1))
            .ThenBy(fault => fault.Place.Line)
            .ThenBy(fault => fault.Place.Column)
            .ToList();
        if (unlisted > 0)
        {
            sorted.Add(new Diagnostic(Faults.TooManyFaults.Code, Faults.TooManyFaults.Severity, firstUnlisted, $"{unlisted} more faults are not listed"));
        }

        return sorted;
    }

    /// <summary>A text of the user's in quotes, safe for a terminal and cut to a length that a line bears.</summary>
    public static string Quote(string text) =>
        text.Length > 60 ? $"'{CleanText.Clean(text[..57])}...'" : $"'{CleanText.Clean(text)}'";
}
