namespace BusScope.Frames.Diagnostics;

/// <summary>A kind of fault that data can have. Declared once, beside the code that finds it.</summary>
/// <param name="Code">Stable name for machines, lower case with hyphens: <c>time-steps-back</c>.</param>
/// <param name="Meaning">One sentence for a person, without a full stop.</param>
public sealed record ProblemKind(string Code, string Meaning)
{
    /// <summary>Whether each time a row or block that holds frames, or should, was passed over and what follows it was read.</summary>
    public bool SkipsFrames { get; init; }
}

/// <summary>Where a fault was met. What a source does not know is null.</summary>
/// <param name="FrameNumber">The frame, counted from 1.</param>
/// <param name="ByteOffset">The offset in the file after decompression.</param>
/// <param name="Line">The line of a text table, counted from 1.</param>
/// <param name="Bus">The name of the bus.</param>
public readonly record struct ProblemPlace(long? FrameNumber = null, long? ByteOffset = null, long? Line = null, string? Bus = null)
{
    /// <summary><c>frame 12, byte 4096</c>, with what is known.</summary>
    public override string ToString()
    {
        var parts = new List<string>();
        if (Line is { } line)
        {
            parts.Add($"line {line}");
        }

        if (FrameNumber is { } frame)
        {
            parts.Add($"frame {frame}");
        }

        if (ByteOffset is { } offset)
        {
            parts.Add($"byte {offset}");
        }

        if (Bus is { } bus)
        {
            parts.Add($"bus {bus}");
        }

        return string.Join(", ", parts);
    }
}

/// <summary>One kind of fault of a source: how often, and where first.</summary>
public sealed class Problem
{
    internal Problem(ProblemKind kind, ProblemPlace first, string? detail)
    {
        Kind = kind;
        First = first;
        Detail = detail;
    }

    /// <summary>What is wrong.</summary>
    public ProblemKind Kind { get; }

    /// <summary>How often it was met.</summary>
    public long Count { get; internal set; }

    /// <summary>Where it was met first.</summary>
    public ProblemPlace First { get; }

    /// <summary>What was found there, for a person.</summary>
    public string? Detail { get; internal set; }
}

/// <summary>
/// The faults of one source, counted by kind: a damaged recording with a million bad rows costs no more memory than one.
/// The caller formats a detail only when <see cref="IsNew"/> says that it will be kept.
/// </summary>
public sealed class ProblemLog
{
    private readonly List<Problem> problems = [];

    /// <summary>The faults in the order of their first occurrence.</summary>
    public IReadOnlyList<Problem> All => problems;

    /// <summary>All faults of all kinds together: grows with each of them.</summary>
    public long Total { get; private set; }

    /// <summary>Whether this kind was not met yet, so that a place and a detail are worth making.</summary>
    public bool IsNew(ProblemKind kind) => Find(kind) is null;

    /// <summary>Counts a fault, and keeps place and detail if it is the first of its kind.</summary>
    public void Add(ProblemKind kind, ProblemPlace place, string? detail = null, long count = 1)
    {
        var problem = Find(kind);
        if (problem is null)
        {
            problem = new Problem(kind, place, detail);
            problems.Add(problem);
        }

        problem.Count += count;
        Total += count;
    }

    /// <summary>Counts all that another log has counted.</summary>
    public void Add(ProblemLog log)
    {
        ArgumentNullException.ThrowIfNull(log);
        foreach (var problem in log.problems)
        {
            Add(problem.Kind, problem.First, problem.Detail, problem.Count);
        }
    }

    /// <summary>Replaces the detail of a kind that was met, once more is known than at its first occurrence.</summary>
    public void Describe(ProblemKind kind, string detail)
    {
        if (Find(kind) is { } problem)
        {
            problem.Detail = detail;
        }
    }

    private Problem? Find(ProblemKind kind)
    {
        foreach (var problem in problems)
        {
            if (ReferenceEquals(problem.Kind, kind))
            {
                return problem;
            }
        }

        return null;
    }
}
