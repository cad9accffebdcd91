using BusScope.Frames;
using BusScope.Health;
using BusScope.Health.Findings;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What the keys of a recording do to where the replay stands in it.</summary>
/// <param name="session">The session.</param>
/// <param name="desk">The desk.</param>
internal sealed class JumpKeys(IWatchedSession session, Desk desk)
{
    private const int LongestTime = 20;

    private SessionSnapshot Snapshot => desk.Model.Snapshot;

    private FrameTime? Now => Snapshot.GoingTo ?? Snapshot.Health.Now;

    /// <summary>Does what a key is for; nothing where it is for something else.</summary>
    public void Do(KeyAction action)
    {
        if (action is not (KeyAction.GoTo or KeyAction.FrameBack or KeyAction.SecondBack or KeyAction.FindingAfter or KeyAction.FindingBefore
            or KeyAction.MarkAfter or KeyAction.MarkBefore or KeyAction.Beginning or KeyAction.Ending or KeyAction.Loop))
        {
            return;
        }

        if (!session.CanJump)
        {
            Say("this recording comes only once: there is no way to another moment of it");
            return;
        }

        if (Now is not { } now)
        {
            return;
        }

        switch (action)
        {
            case KeyAction.GoTo: Ask(now); break;
            case KeyAction.FrameBack: session.StepBack(); break;
            case KeyAction.SecondBack: session.JumpTo(now - FrameSpan.FromSeconds(1)); break;
            case KeyAction.Beginning: session.JumpTo(Edge(isLast: false) ?? now); break;
            case KeyAction.Ending: End(); break;
            case KeyAction.FindingAfter: ToFinding(now, isNext: true); break;
            case KeyAction.FindingBefore: ToFinding(now, isNext: false); break;
            case KeyAction.MarkAfter: To(Marks(), now, isNext: true, "mark"); break;
            case KeyAction.MarkBefore: To(Marks(), now, isNext: false, "mark"); break;
            default: Loop(now); break;
        }
    }

    /// <summary>Goes to the moment of an event.</summary>
    public void To(SessionEvent happened)
    {
        if (session.CanJump && happened.At.IsKnown)
        {
            session.JumpTo(happened.At);
        }
    }

    private void Ask(FrameTime now) => desk.Choice.Entry = new Entry("go to: ", LongestTime, typed =>
    {
        if (typed.Length == 0)
        {
            return null;
        }

        if (MomentText.Read(typed, Edge(isLast: false) ?? now, now) is not { } moment)
        {
            return $"not a time: '{typed}'; {MomentText.Forms}";
        }

        session.JumpTo(moment);
        if (Snapshot.Survey is { IsOver: true } && Edge(isLast: true) is { } last && moment > last)
        {
            Say($"the recording ends at {MomentText.Of(last - (Edge(isLast: false) ?? last))}: that is where it stands");
        }
        else if (Edge(isLast: false) is { } first && moment < first)
        {
            Say("the recording begins at 0:00.0: that is where it stands");
        }

        return null;
    })
    {
        Keys = "Enter go  Esc not",
    };

    private void End()
    {
        if (Snapshot.Survey is { IsOver: true })
        {
            session.JumpTo(Edge(isLast: true) ?? new FrameTime(long.MaxValue));
        }
        else
        {
            Say("the recording is still being read: its end is not known yet");
        }
    }

    // Of a recording whose clock was set back, the stretch is meant in which the replay stands.
    private FrameTime? Edge(bool isLast) => Snapshot.Survey?.Stretches switch
    {
        [var only] => isLast ? only.Last : only.First,
        _ => isLast ? null : Snapshot.Health.First,
    };

    private IEnumerable<FrameTime> Marks() => Snapshot.Marks.Select(mark => mark.At);

    private void To(IEnumerable<FrameTime> moments, FrameTime now, bool isNext, string what)
    {
        if (Nearest(moments, now, isNext) is { } moment)
        {
            session.JumpTo(moment);
        }
        else
        {
            Say($"no {what} {(isNext ? "after" : "before")} this moment");
        }
    }

    // Stands still there, with its message chosen, and says what is found: of many findings little is to be seen at their first moment.
    private void ToFinding(FrameTime now, bool isNext)
    {
        var findings = Snapshot.Survey?.Findings ?? [];
        if (Nearest(findings.Select(SeenAt).OfType<FrameTime>(), now, isNext) is not { } moment)
        {
            Say(Snapshot.Survey is { IsOver: true } ? $"no finding {(isNext ? "after" : "before")} this moment" : "the recording is still being read: findings are known at its end");
            return;
        }

        var there = findings.Where(finding => SeenAt(finding) == moment).ToList();
        session.Pace!.IsPaused = true;
        session.JumpTo(moment);
        Jump.To(desk.Choice, desk.Model, SessionEvent.Of(there[0], Snapshot.Health));
        desk.Hands.Say(there[0].Text + (there.Count > 1 ? $" (and {there.Count - 1} more at this moment)" : ""), Drawing.Marks.InkOf(there[0].Severity));
    }

    // A message that never came is found since it was awaited, and missing only when its grace time was over: what happened tells when.
    private FrameTime? SeenAt(Finding finding)
    {
        if (finding is { Code: FindingCodes.MessageMissing, At: { } since } && SessionEvent.Of(finding, Snapshot.Health) is { DefinitionIndex: >= 0 and var index })
        {
            return Snapshot.Survey!.Events.FirstOrDefault(happened => happened.DefinitionIndex == index && happened.At >= since)?.At ?? since;
        }

        return finding.At;
    }

    private static FrameTime? Nearest(IEnumerable<FrameTime> moments, FrameTime now, bool isNext) => isNext
        ? moments.Where(at => at > now).Order().Cast<FrameTime?>().FirstOrDefault()
        : moments.Where(at => at < now).OrderDescending().Cast<FrameTime?>().FirstOrDefault();

    // The two marks around the present moment; where it does not lie between two, the two nearest to it.
    private void Loop(FrameTime now)
    {
        if (Snapshot.Loop is not null)
        {
            session.Repeat(null);
            Say("goes on behind the loop");
            return;
        }

        var marks = Marks().Distinct().ToList();
        if (marks.Count < 2)
        {
            Say("a loop goes from one mark to the next: set two with n");
            return;
        }

        var from = Math.Clamp(marks.FindLastIndex(at => at <= now), 0, marks.Count - 2);
        session.Repeat(new ReplayLoop(marks[from], marks[from + 1]));
        session.JumpTo(marks[from]);
    }

    private void Say(string text) => desk.Hands.Say(text, Ink.Note);
}
