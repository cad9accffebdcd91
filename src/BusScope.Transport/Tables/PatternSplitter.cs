using System.Text;
using System.Text.RegularExpressions;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>Cells by a pattern over the whole line: slower than columns, and only where a profile asks for it.</summary>
internal sealed class PatternSplitter : RowSplitter
{
    private readonly Regex pattern;
    private readonly List<int> groups = [];

    /// <summary>A splitter for a pattern whose groups are named like columns.</summary>
    public PatternSplitter(Regex pattern)
    {
        this.pattern = pattern;
        foreach (var name in pattern.GetGroupNames())
        {
            if (HeaderNames.TryRole(name, out var role, out _))
            {
                Columns[role] = groups.Count;
                groups.Add(pattern.GroupNumberFromName(name));
            }
        }

        Columns.Count = groups.Count;
    }

    /// <summary>Which cell says what.</summary>
    public TableColumns Columns { get; } = new();

    /// <inheritdoc/>
    public override ProblemKind? Split(ReadOnlySpan<byte> row, Cells cells)
    {
        cells.Clear(areCopied: true);
        var text = Encoding.UTF8.GetString(row);
        Match match;
        try
        {
            match = pattern.Match(text);
        }
        catch (RegexMatchTimeoutException)
        {
            return TableProblems.NoMatch;
        }

        if (!match.Success)
        {
            return TableProblems.NoMatch;
        }

        foreach (var group in groups)
        {
            cells.AddCopy(Encoding.UTF8.GetBytes(match.Groups[group].Value));
        }

        return cells.Overflowed ? TableProblems.NoMatch : null;
    }
}
