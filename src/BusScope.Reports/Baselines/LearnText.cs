using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Timing;
using BusScope.Analysis.Learning.Writing;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Baselines;

/// <summary>What was learned, for a person: the figures of each bus, and what the definition file says of it.</summary>
public static class LearnText
{
    private const int EnoughGaps = 8;

    // docs/learning.md, What to record.
    private const string RecordTheChange = "Record key off, on, engine running and off again in one capture";

    /// <summary>Writes the summary, at most 80 columns wide where names allow.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="file">The definition file that was written.</param>
    /// <param name="baseline">What was learned.</param>
    /// <param name="merge">What became of the file that was there, or null where none was.</param>
    /// <param name="subjects">The captures and what was wrong with them.</param>
    /// <param name="ink">How it is coloured.</param>
    public static void Write(TextWriter output, string file, Baseline baseline, BaselineMergeResult? merge, IReadOnlyList<RunSubject> subjects, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(baseline);
        ArgumentNullException.ThrowIfNull(subjects);
        ArgumentNullException.ThrowIfNull(ink);
        var messages = Figures.Of(baseline.Messages.Count, "message");
        var from = subjects.Count == 1 ? "" : $" of {subjects.Count} captures";
        Paragraph.Write(output, $"Learned {messages} from {Figures.Of(baseline.Frames, "frame")} in {baseline.Duration}{from}", "", 2);
        output.WriteLine();
        WriteBuses(output, baseline, ink);
        if (baseline.Missing is { } missing)
        {
            Paragraph.Write(output, missing.ToString(), "", 2);
            output.WriteLine();
        }

        WriteConditions(output, baseline);
        if (merge is null)
        {
            Paragraph.Write(output, CleanText.Clean($"{file} is written. What these captures held is all it knows: read it, name what you know, take out what does not matter."), "", 2);
        }
        else
        {
            WriteMerge(output, file, merge, ink);
        }

        foreach (var subject in subjects.Where(subject => subject.Problems.Count > 0))
        {
            output.WriteLine();
            output.WriteLine(ink.Strong(CleanText.Clean($"Problems of {subject.Source}")));
            ProblemList.Write(output, subject.Problems, 2);
        }
    }

    private static void WriteBuses(TextWriter output, Baseline baseline, Ink ink)
    {
        var table = new Columns("bus", ">messages", ">periodic", ">mixed", ">event", ">part-time", ">counters", ">checksums", ">unknown");
        foreach (var bus in baseline.Messages.GroupBy(message => message.Bus))
        {
            string Count(Func<LearnedMessage, bool> holds) => Figures.Count(bus.Count(holds));
            table.Add(
                CleanText.Clean(bus.Key),
                Figures.Count(bus.Count()),
                Count(message => message.Timing.Kind == SendingKind.Periodic),
                Count(message => message.Timing.Kind == SendingKind.Mixed),
                Count(message => message.Timing.Kind == SendingKind.Event),
                Count(message => message.Attendance is { IsWhole: false }),
                Count(message => message.Counter is { IsDemanded: true }),
                Count(message => message.Checksum?.Definition is not null),
                Count(message => message.Checksum is { Definition: null }));
        }

        table.Write(output, ink);
        output.WriteLine();
        Paragraph.Write(output, "part-time: there only for a part of the time; unknown: protected by something that was not identified, or by one of several forms that fit alike", "  ", 2);
        output.WriteLine();
    }

    private static void WriteConditions(TextWriter output, Baseline baseline)
    {
        var left = baseline.Messages.Count(message => message.Attendance is { IsWhole: false } && message.Condition is null);
        foreach (var condition in baseline.Messages.Select(message => message.Condition).OfType<Analysis.Learning.Conditions.LearnedCondition>().Distinct())
        {
            var bits = string.Join(", ", condition.Bits.Select(bit => $"{bit.Byte}.{bit.Bit} of {bit.Id} on {bit.Bus}"));
            var many = condition.Bits.Count == 1 ? "bit" : condition.Demanded == condition.Bits.Count ? "all of the bits" : "all but one of the bits";
            var doubt = condition.WasSeenToChange ? "" : $". No capture shows {(condition.Bits.Count == 1 ? "it" : "them")} change, and captures differ in much else. {RecordTheChange}";
            Paragraph.Write(output, CleanText.Clean($"{Figures.Of(condition.Messages, "message")} expected only while {many} {bits} say{(condition.Bits.Count == 1 ? "s" : "")} so{doubt}"), "", 2);
        }

        if (left > 0)
        {
            Paragraph.Write(output, $"{Figures.Of(left, "message")} there only for a part of the time, and nothing was found that says when: not expected. {RecordTheChange}", "", 2);
        }

        WriteTooRare(output, baseline);
        WriteNeverAtRest(output, baseline);
        output.WriteLine();
    }

    // docs/learning.md, Periods: fewer than eight gaps make no period unless they hardly differ.
    private static void WriteTooRare(TextWriter output, Baseline baseline)
    {
        var rare = baseline.Messages.Count(message => message.Timing.Period is null && (message.Timing.Measured?.Count ?? 0) < EnoughGaps);
        if (rare > 0)
        {
            Paragraph.Write(output, $"{Figures.Count(rare)} of {Figures.Of(baseline.Messages.Count, "message")} came too rarely to be expected: record ten seconds or longer, and ten periods of the slowest", "", 2);
        }

        if (baseline.Messages.All(message => !message.IsExpected))
        {
            Paragraph.Write(output, "Nothing is expected: a check by this file alone misses no message", "", 2);
        }
    }

    // docs/learning.md, What lives: what never rested may have moved only because the car did.
    private static void WriteNeverAtRest(TextWriter output, Baseline baseline)
    {
        var living = baseline.Messages.Count(message => message.IsExpected && message.Lives.Length > 0);
        if (living > 0)
        {
            Paragraph.Write(output, $"{Figures.Of(living, "message")} never at rest in what was learned: a check of a car in which {(living == 1 ? "it rests" : "they rest")}, as when it stands, is inconclusive. Learn from a capture of the standing car as well", "", 2);
        }
    }

    private static void WriteMerge(TextWriter output, string file, BaselineMergeResult merge, Ink ink)
    {
        Paragraph.Write(
            output,
            CleanText.Clean($"{file} is kept as it was, with {Figures.Of(merge.NewMessages, "new message")} and {Figures.Of(merge.NewKeys, "new key")} in {Figures.Of(merge.TouchedMessages, "message")} added"),
            "",
            2);
        if (merge.Differences.Count == 0)
        {
            return;
        }

        output.WriteLine();
        output.WriteLine(ink.Strong("What the file says otherwise, and keeps"));
        var table = new Columns("message", "key", "file", "measured");
        foreach (var difference in merge.Differences)
        {
            table.Add(CleanText.Clean(difference.Message), difference.Key, CleanText.Clean(difference.InFile), CleanText.Clean(difference.Measured));
        }

        table.Write(output, ink, margin: 2);
    }
}
