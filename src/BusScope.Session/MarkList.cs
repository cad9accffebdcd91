using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>
/// The marks that a person set, in order of time. They belong to the person and not to what is followed: a replay that goes back loses none.
/// The caller holds threads apart.
/// </summary>
internal sealed class MarkList
{
    /// <summary>The most marks kept; the earliest make room.</summary>
    public const int Capacity = 1_000;

    private IReadOnlyList<SessionEvent> events = [];
    private IReadOnlyList<SessionEvent> merged = [];
    private int shown;

    /// <summary>All of them.</summary>
    public IReadOnlyList<SessionEvent> All { get; private set; } = [];

    /// <summary>Sets a mark.</summary>
    public void Add(FrameTime at, string note)
    {
        var mark = new SessionEvent(at, note.Length == 0 ? "mark" : $"mark: {note}", FindingSeverity.Note) { IsMark = true };
        All = [.. All.Append(mark).OrderBy(each => each.At).TakeLast(Capacity)];
        shown = -1;
    }

    /// <summary>What happened up to a moment with the marks among it; the same list while nothing is added.</summary>
    /// <param name="happened">Oldest first.</param>
    /// <param name="now">Marks that lie ahead of it are left out.</param>
    public IReadOnlyList<SessionEvent> Among(IReadOnlyList<SessionEvent> happened, FrameTime now)
    {
        var past = All.Count(mark => mark.At <= now);
        if (past != shown || !ReferenceEquals(happened, events))
        {
            (shown, events) = (past, happened);
            merged = past == 0 ? happened : Merge(happened, All.Take(past));
        }

        return merged;
    }

    // Events stand as they were noticed, which is nearly in order of time: a mark goes before the first one that is later.
    private static List<SessionEvent> Merge(IReadOnlyList<SessionEvent> happened, IEnumerable<SessionEvent> marks)
    {
        var left = new Queue<SessionEvent>(marks);
        var all = new List<SessionEvent>(happened.Count + left.Count);
        foreach (var each in happened)
        {
            while (left.TryPeek(out var mark) && mark.At < each.At)
            {
                all.Add(left.Dequeue());
            }

            all.Add(each);
        }

        all.AddRange(left);
        return all;
    }
}
