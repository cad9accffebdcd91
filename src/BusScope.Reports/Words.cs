using BusScope.Health;

namespace BusScope.Reports;

/// <summary>The words of the contract for machines, which never change, and those for people.</summary>
public static class Words
{
    /// <summary><c>go</c>, <c>no-go</c>, <c>inconclusive</c>.</summary>
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Go => "go",
        Verdict.NoGo => "no-go",
        _ => "inconclusive",
    };

    /// <summary><c>awaited</c>, <c>fresh</c>, <c>late</c>, <c>stale</c>, <c>missing</c>, <c>idle</c>.</summary>
    public static string Of(MessageState state) => state switch
    {
        MessageState.Awaited => "awaited",
        MessageState.Fresh => "fresh",
        MessageState.Late => "late",
        MessageState.Stale => "stale",
        MessageState.Missing => "missing",
        _ => "idle",
    };

    /// <summary><c>note</c>, <c>warning</c>, <c>fault</c>.</summary>
    public static string Of(FindingSeverity severity) => severity switch
    {
        FindingSeverity.Fault => "fault",
        FindingSeverity.Warning => "warning",
        _ => "note",
    };

    /// <summary><c>GO</c>, <c>NO-GO</c>, <c>INCONCLUSIVE</c>: the verdict as it is called out.</summary>
    public static string Called(Verdict verdict) => verdict switch
    {
        Verdict.Go => "GO",
        Verdict.NoGo => "NO-GO",
        _ => "INCONCLUSIVE",
    };
}
