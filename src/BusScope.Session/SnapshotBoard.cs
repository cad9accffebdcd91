using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// Where the session's thread puts each snapshot and the screen's finds the latest, with the marks on it: those come from the screen's thread.
/// Any thread.
/// </summary>
/// <param name="first">The snapshot before anything came.</param>
internal sealed class SnapshotBoard(SessionSnapshot first)
{
    private readonly Lock gate = new();
    private readonly MarkList marks = new();
    private IReadOnlyList<SessionEvent> happened = [];
    private SessionSnapshot current = first;

    /// <summary>The latest snapshot.</summary>
    public SessionSnapshot Current => Volatile.Read(ref current);

    /// <summary>Puts a snapshot in the place of the one before.</summary>
    /// <param name="next">The snapshot, but for its number, events and marks.</param>
    /// <param name="events">What has happened up to it, oldest first.</param>
    public void Put(SessionSnapshot next, IReadOnlyList<SessionEvent> events)
    {
        lock (gate)
        {
            happened = events;
            Write(next);
        }
    }

    /// <summary>Sets a mark at the moment that is shown.</summary>
    public void Mark(string note)
    {
        lock (gate)
        {
            marks.Add(current.Health.Now ?? FrameTime.Never, note);
            Write(current);
        }
    }

    /// <summary>Says where the replay is going to, before it sets out.</summary>
    public void GoesTo(FrameTime moment)
    {
        lock (gate)
        {
            Write(current with { GoingTo = moment });
        }
    }

    private void Write(SessionSnapshot next) => Volatile.Write(ref current, next with
    {
        Number = current.Number + 1,
        Events = marks.Among(happened, next.Health.Now ?? FrameTime.Never),
        Marks = marks.All,
    });
}
