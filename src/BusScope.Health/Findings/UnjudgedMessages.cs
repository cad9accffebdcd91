using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Says which messages the frames could not decide, why, and what to record instead: once for all that have one cause.</summary>
internal sealed class UnjudgedMessages(SessionTrack session, FindingList findings)
{
    // As many are still told one by one.
    private const int MostAlone = 3;

    /// <summary>Adds the notes.</summary>
    public void Tell(IReadOnlyList<MessageJudgement> judgements)
    {
        foreach (var group in judgements.Where(IsOpen).GroupBy(CauseOf))
        {
            var messages = group.Select(judgement => judgement.Message).ToList();
            switch (group.Key)
            {
                case (Cause.NeverKnown, { } condition):
                    AddUnder(messages, NeverKnown(condition), null);
                    break;
                case (Cause.NoLongerKnown, { } condition):
                    NoLongerKnown(messages, condition);
                    break;
                case (Cause.NeverHeld, { } condition):
                    Tell(messages, own => $"{own.Their} condition {condition.Text} never held. Record while it does, for {own.Grace} or longer");
                    break;
                case (Cause.NeverCame, var condition):
                    Tell(messages, own => $"{own.TheyWere} awaited for {own.Held} only. Record {own.Grace} or longer{During(condition)}");
                    break;
                case var (_, condition):
                    Tell(messages, own => $"{own.TheyWere} expected for {own.Held} only. Record {own.StaleAfter} or longer{During(condition)}");
                    break;
            }
        }
    }

    // What its recording lacks is told of the recording.
    private static bool IsOpen(MessageJudgement judgement) => judgement.IsRecorded && !(judgement.IsTimed && judgement.IsConditionKnown);

    private static (Cause Cause, Condition? Condition) CauseOf(MessageJudgement judgement)
    {
        var (message, condition) = (judgement.Message, judgement.Message.Condition);
        return (
            !judgement.IsConditionKnown ? Cause.NoLongerKnown
            : condition is null || message.Expectations().First().EverHeld ? message.Tracks.Count == 0 ? Cause.NeverCame : Cause.TooShort
            : condition.EverKnown ? Cause.NeverHeld
            : Cause.NeverKnown,
            condition);
    }

    private static string During(Condition? condition) => condition is null ? "" : $" while {condition.Text}";

    private static string NeverKnown(Condition condition)
    {
        var absent = condition.Tellers.FirstOrDefault(teller => !teller.Last.IsKnown);
        return absent is null ? $"{condition.Text} is not known: what tells it came, but never with a value"
            : $"{condition.Text} is not known, since {absent.Name}, which tells it, never came: mend that first";
    }

    private void NoLongerKnown(List<DefinedMessage> messages, Condition condition)
    {
        var (from, length, silent, isOver) = condition.UnknownAt(session.Heard)!.Value;
        AddUnder(
            messages,
            isOver ? $"{condition.Text} was not known for {length} from {findings.Moment(from)} on, while {silent.Name}, which tells it, was silent: mend that first"
                : session.Places.TrackOf(session.Messages[silent.Message]) is { RecordedUntil: { } end } bus && end < session.Now
                    ? $"{condition.Text} is last known at {findings.Moment(from)}: {silent.Name}, which tells it, is on bus {bus.Bus.Name}, of which the recording ends then"
                : $"{condition.Text} is last known at {findings.Moment(from)}: {silent.Name}, which tells it, is silent since. Mend that first",
            from);
    }

    // The condition is what is told: the messages are named behind it, be they many or one.
    private void AddUnder(List<DefinedMessage> messages, string text, FrameTime? from) =>
        Add(messages, from, string.Create(CultureInfo.InvariantCulture, $"{text}. {(messages.Count == 1 ? "1 message" : $"{messages.Count} messages")} under it could not be judged{(from is null ? "" : " meanwhile")}: {NameList.Of(messages)}"));

    private void Tell(List<DefinedMessage> messages, Func<Figures, string> reason)
    {
        if (messages.Count > MostAlone)
        {
            Add(messages, null, string.Create(CultureInfo.InvariantCulture, $"{messages.Count} messages could not be judged: {reason(new Figures(messages, session.Now))}: {NameList.Of(messages)}"));
            return;
        }

        foreach (var message in messages)
        {
            findings.Add(message, new Finding(FindingCodes.NotJudged, FindingSeverity.Note, $"{message.Definition.Name} could not be judged: {reason(new Figures([message], session.Now))}"));
        }
    }

    private void Add(List<DefinedMessage> messages, FrameTime? from, string text)
    {
        var finding = new Finding(FindingCodes.NotJudged, FindingSeverity.Note, text) { At = from, Count = messages.Count };
        if (messages is [var only])
        {
            findings.Add(only, finding);
            return;
        }

        messages.ForEach(message => findings.Weigh(message, finding.Severity));
        findings.Add(finding with { Modules = NameList.Modules(messages) });
    }

    private enum Cause
    {
        NeverKnown,
        NoLongerKnown,
        NeverHeld,
        NeverCame,
        TooShort,
    }

    // What is long enough for all of them.
    private readonly record struct Figures(List<DefinedMessage> Messages, FrameTime Now)
    {
        public string Their => Messages.Count == 1 ? "its" : "their";

        public string TheyWere => Messages.Count == 1 ? "it was" : "they were";

        public FrameSpan Grace => Messages.Max(message => message.Expectations().First().Grace);

        public FrameSpan StaleAfter => Messages.Max(message => message.Expectations().First().StaleAfter);

        public FrameSpan Held
        {
            get
            {
                var now = Now;
                return Messages.Max(message => message.Expectations().First().HeldAt(now));
            }
        }
    }
}
