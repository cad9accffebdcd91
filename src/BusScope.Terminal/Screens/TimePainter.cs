using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>Where the session stands in time: for a recording with the way gone, the speed, and the faults on the way.</summary>
internal static class TimePainter
{
    // " 12 problems: e", and with "of the recording".
    private const int ShortProblems = 16, WholeProblems = 33;

    /// <summary>Paints one row.</summary>
    public static void Paint(Scene scene, Area area)
    {
        var snapshot = scene.Model.Snapshot;
        var pen = scene.Pen(area, 0);
        pen.Put(' ');
        var (word, ink) = snapshot switch
        {
            { Failure: not null } => ("SOURCE FAILED", Ink.Bad),
            { GoingTo: not null } => ("reads on to", Ink.Wary),
            { HasEnded: true } => ("ended", Ink.Note),
            { IsPaused: true } => ("stands still", Ink.Wary),
            { Loop: not null } => ("loop", Ink.Good),
            _ when scene.IsReplay => ("replay", Ink.Good),
            _ => ("live", Ink.Good),
        };
        pen.Write(word, ink);
        pen.Put(' ');
        if (snapshot.Speed is { } speed && !snapshot.HasEnded)
        {
            pen.Put(scene.Marks.IsAscii ? 'x' : '×');
            if (double.IsPositiveInfinity(speed))
            {
                pen.Write("max");
            }
            else
            {
                pen.Figure(speed, "0.##");
            }

            pen.Put(' ');
        }

        if ((snapshot.GoingTo ?? scene.Model.Health.Now) is { } now)
        {
            pen.Clock(scene.Model.SinceStart(now), Ink.Strong, 1);
            pen.Put(' ');
        }

        if (snapshot is { GoingTo: not null, Survey: { IsOver: false, Progress: { } read } })
        {
            pen.Write("read ", Ink.Quiet);
            pen.Figure(read * 100, "0' %'", Ink.Wary);
            pen.Put(' ');
        }

        Alarm(scene, ref pen);
        if ((snapshot.Failure ?? snapshot.JumpFailure) is { } failure)
        {
            pen.Write(failure, Ink.Bad);
        }
        else if (snapshot.Progress is { } progress)
        {
            Line(scene, ref pen, Math.Clamp(progress, 0, 1));
        }
        else
        {
            Live(scene, ref pen);
        }
    }

    private static void Alarm(Scene scene, ref Pen pen)
    {
        if (scene.Choice.Alarm != AlarmMode.Off)
        {
            pen.Write("alarm", Ink.Note);
            if (scene.Choice.Alarmed.Count > 0)
            {
                pen.Put(' ');
                pen.Figure(scene.Choice.Alarmed.Count, "0", Ink.Note);
            }

            pen.Write(scene.Choice.Alarm == AlarmMode.AnyNoGo ? " NO-GO " : " ", Ink.Note);
        }
    }

    // What a person beside a live bus must not overlook: that the adapter takes part in it, and whether anything is recorded.
    private static void Live(Scene scene, ref Pen pen)
    {
        pen.Write(" frames ", Ink.Quiet);
        pen.Figure(scene.Model.Health.Frames, "#,0");
        if (scene.Model.Snapshot.Problems.Count is var problems and > 0)
        {
            pen.Skip(1);
            Problems(scene, ref pen, problems, isWhole: false);
        }

        if (scene.Model.Snapshot.IsRecorded)
        {
            pen.Write("  recorded", Ink.Good);
        }

        var isFirst = true;
        foreach (var bus in scene.Model.Buses)
        {
            if (bus.Controller?.IsListenOnly == false)
            {
                pen.Write(isFirst ? "  NOT listen-only: " : ", ", Ink.Wary);
                pen.Write(bus.Name, Ink.Wary);
                isFirst = false;
            }
        }
    }

    private static void Line(Scene scene, ref Pen pen, double progress)
    {
        var snapshot = scene.Model.Snapshot;
        var problems = snapshot.Problems.Count;
        var isWhole = scene.Sheet.Width >= 100;
        var tail = 6 + (problems == 0 ? 0 : isWhole ? WholeProblems : ShortProblems);
        var width = pen.Room - tail;
        progress = TimeLine.Of(snapshot) is { } whole && snapshot.Health.Now is { } now ? whole.ShareOf(now) : progress;
        if (width > 8)
        {
            TimeLine.Paint(scene, ref pen, width, progress);
        }

        pen.Figure(progress * 100, "0' %'", Ink.Plain, 6);
        if (problems > 0)
        {
            Problems(scene, ref pen, problems, isWhole);
        }
    }

    // With the key that lists them.
    private static void Problems(Scene scene, ref Pen pen, int count, bool isWhole)
    {
        pen.Skip(1);
        pen.Figure(count, "0", Ink.Wary);
        pen.Write(count == 1 ? " problem" : " problems", Ink.Wary);
        if (isWhole)
        {
            pen.Write(" of the ", Ink.Wary);
            pen.Write(ProblemLines.Source(scene), Ink.Wary);
        }

        pen.Write(": ", Ink.Wary);
        pen.Put('e', Ink.Key);
    }
}
