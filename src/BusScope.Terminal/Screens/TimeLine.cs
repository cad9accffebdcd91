using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// The line from the beginning of a recording to its end. Once the recording was read ahead the line stands for its time, with the
/// findings and the marks of the whole; until then it is the way through the file, with what has happened on the part that is gone.
/// </summary>
/// <param name="First">When it begins.</param>
/// <param name="Last">When it ends.</param>
internal readonly record struct TimeLine(FrameTime First, FrameTime Last)
{
    /// <summary>The line of the whole recording, or null while it is not known.</summary>
    public static TimeLine? Of(SessionSnapshot snapshot) => snapshot.Survey?.Whole is { } whole && whole.Last > whole.First ? new(whole.First, whole.Last) : null;

    /// <summary>Where a moment lies between the beginning and the end, 0 to 1.</summary>
    public double ShareOf(FrameTime at) => Math.Clamp((at - First).Seconds / (Last - First).Seconds, 0, 1);

    /// <summary>Paints the line.</summary>
    /// <param name="scene">What is shown.</param>
    /// <param name="pen">Where it begins.</param>
    /// <param name="width">Columns that it takes, at least 2.</param>
    /// <param name="progress">Where the replay stands, 0 to 1.</param>
    public static void Paint(Scene scene, ref Pen pen, int width, double progress)
    {
        var start = pen.Column;
        var here = (int)Math.Round(progress * (width - 1));
        pen.Put(scene.Marks.Gone, Ink.Note, here);
        pen.Put(scene.Marks.Here, Ink.Strong);
        pen.Put(scene.Marks.Rule, Ink.Quiet, width - 1 - here);
        if (Of(scene.Model.Snapshot) is { } whole)
        {
            whole.Moments(scene, pen, start, width, here);
        }
        else
        {
            Gone(scene, pen, start, here);
        }
    }

    private void Moments(Scene scene, Pen pen, int start, int width, int here)
    {
        var snapshot = scene.Model.Snapshot;
        foreach (var finding in snapshot.Survey!.Findings)
        {
            if (finding is { At: { } at, Severity: FindingSeverity.Fault } && Column(at, width) is var column && column != here)
            {
                pen.Over(start + column, scene.Marks.Of(MessageState.Missing), Ink.Bad);
            }
        }

        foreach (var mark in snapshot.Marks)
        {
            if (Column(mark.At, width) is var column && column != here)
            {
                pen.Over(start + column, scene.Marks.Mark, Ink.Strong);
            }
        }

        if (snapshot.Loop is { } loop)
        {
            pen.Over(start + Column(loop.From, width), '[', Ink.Key);
            pen.Over(start + Column(loop.To, width), ']', Ink.Key);
        }
    }

    private int Column(FrameTime at, int width) => (int)Math.Round(ShareOf(at) * (width - 1));

    // The way gone stands for the time gone, which is true enough for marks a column wide.
    private static void Gone(Scene scene, Pen pen, int start, int here)
    {
        if (scene.Model.Health is not { First: { } first, Now: { } now } || now <= first || here == 0)
        {
            return;
        }

        foreach (var happened in scene.Model.Snapshot.Events)
        {
            var column = (int)((happened.At - first).Seconds / (now - first).Seconds * here);
            if ((happened.Severity == FindingSeverity.Fault || happened.IsMark) && column >= 0 && column < here)
            {
                pen.Over(start + column, happened.IsMark ? scene.Marks.Mark : scene.Marks.Of(MessageState.Missing), happened.IsMark ? Ink.Strong : Ink.Bad);
            }
        }
    }
}
