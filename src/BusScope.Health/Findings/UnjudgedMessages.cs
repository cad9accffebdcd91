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

    private readonly UnknownConditions unknownConditions = new(session, findings);

    /// <summary>Adds the notes.</summary>
    public void Tell(IReadOnlyList<MessageJudgement> judgements)
    {
        foreach (var group in judgements.Where(IsOpen).GroupBy(CauseOf))
        {
            var messages = group.Select(judgement => judgement.Message).ToList();
            switch (group.Key)
            {
                case (Cause.NeverKnown, { } condition):
                    AddUnder(messages, unknownConditions.NeverKnown(condition), null);
                    break;
                case (Cause.NoLongerKnown, { } condition):
                    NoLongerKnown(messages, condition);
                    break;
                case (Cause.NeverHeld, { } condition):
                    Tell(messages, own => NeverHeld(own, condition));
                    break;
                case (Cause.NeverCame, var condition):
                    Tell(messages, own => NeverCame(own, condition));
                    break;
                case (Cause.MayHaveStopped, var condition):
                    var silence = group.Max(judgement => judgement.OpenSilence!.Value);
                    Tell(messages, own => $"{own.TheyWere} silent for {(messages.Count == 1 ? "" : "up to ")}{silence} at the end, more than twice as long as ever before. {own.Whether} stopped shows after {own.StaleAfter}: record on for longer than that{During(condition)}");
                    break;
                case var (_, condition):
                    Tell(messages, own => $"{own.TheyWere} expected for {own.Held} only. Record {own.StaleAfter} or longer{During(condition)}");
                    break;
            }
        }
    }

    // What its recording lacks is told of the recording, and of a bus that never spoke that it did not.
    private bool IsOpen(MessageJudgement judgement) => judgement.IsRecorded && !NeverSpoke(session.Places.TrackOf(judgement.Message)) && !(judgement.IsTimed && judgement.IsConditionKnown && judgement.OpenSilence is null);

    private bool NeverSpoke(BusTrack? bus) => bus is { Latest.IsKnown: false } && session.IsSilent(bus, session.Now);

    private static (Cause Cause, Condition? Condition) CauseOf(MessageJudgement judgement)
    {
        var (message, condition) = (judgement.Message, judgement.Message.Condition);
        return (
            !judgement.IsConditionKnown ? Cause.NoLongerKnown
            : judgement is { IsTimed: true, OpenSilence: not null } ? Cause.MayHaveStopped
            : condition is null || message.Expectations().First().EverHeld ? message.Tracks.Count == 0 ? Cause.NeverCame : Cause.TooShort
            : condition.EverKnown ? Cause.NeverHeld
            : Cause.NeverKnown,
            condition);
    }

    private static string During(Condition? condition) => condition is null ? "" : $" while {condition.Text}";

    private void NoLongerKnown(List<DefinedMessage> messages, Condition condition)
    {
        var unknown = condition.UnknownAt(session.Heard)!.Value;
        AddUnder(messages, unknownConditions.NoLongerKnown(condition, unknown), unknown.From);
    }

    // What came all the same for long enough to be judged puts the condition in doubt, where most did.
    private string NeverHeld(Figures own, Condition condition)
    {
        var came = own.Messages.FindAll(message => message.Tracks.Exists(track => track.Expectation is { } expectation && track.Last - track.First >= expectation.Grace));
        if (came.Count * 2 <= own.Messages.Count)
        {
            return $"{own.Their} condition {condition.Text} never held. Record while it does, for longer than {own.Grace}";
        }

        var who = own.Messages.Count == 1 ? "it" : string.Create(CultureInfo.InvariantCulture, $"{came.Count} of them");
        return $"{own.Their} condition {condition.Text} never held, but {who} came all the same, from {findings.Moment(came.Min(message => message.Tracks.Min(track => track.First)))} on. "
            + $"Either the condition is wrong, or {string.Join(", ", condition.Tellers.Select(teller => teller.Name))}, which tells it, says the wrong thing: look at that first";
    }

    private static string NeverCame(Figures own, Condition? condition) => own.Awaited >= own.Held
        ? $"{own.TheyWere} awaited for {own.Awaited} only. Record for longer than {own.Grace}{During(condition)}"
        : $"{own.TheyWere} awaited for {own.Awaited} at a time only, between {(own.IsHoled ? "holes of the recording" : "silences of the bus")}. Record for longer than {own.Grace} on end{During(condition)}";

    // The condition is what is told: the messages are named behind it, be they many or one.
    private void AddUnder(List<DefinedMessage> messages, string text, FrameTime? from) =>
        Add(messages, from, string.Create(CultureInfo.InvariantCulture, $"{text}. {(messages.Count == 1 ? "1 message" : $"{messages.Count} messages")} under it could not be judged{(from is null ? "" : " meanwhile")}: {NameList.Of(messages)}"));

    private void Tell(List<DefinedMessage> messages, Func<Figures, string> reason)
    {
        if (messages.Count > MostAlone)
        {
            Add(messages, null, string.Create(CultureInfo.InvariantCulture, $"{messages.Count} messages could not be judged: {reason(new Figures(messages, session))}: {NameList.Of(messages)}"));
            return;
        }

        foreach (var message in messages)
        {
            findings.Add(message, new Finding(FindingCodes.NotJudged, FindingSeverity.Note, $"{message.Definition.Name} could not be judged: {reason(new Figures([message], session))}"));
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
        MayHaveStopped,
        TooShort,
    }

    // What is long enough for all of them.
    private readonly record struct Figures(List<DefinedMessage> Messages, SessionTrack Session)
    {
        public string Their => Messages.Count == 1 ? "its" : "their";

        public string Whether => Messages.Count == 1 ? "Whether it" : "Whether they";

        public string TheyWere => Messages.Count == 1 ? "it was" : "they were";

        public FrameSpan Grace => Longest((expectation, _) => expectation.Grace);

        public FrameSpan StaleAfter => Longest((expectation, _) => expectation.StaleAfter);

        public FrameSpan Held => Longest((expectation, now) => expectation.HeldAt(now));

        public FrameSpan Awaited => Longest((expectation, now) => expectation.LongestAwaitedAt(now));

        public bool IsHoled => Session.Places.TrackOf(Messages[0])?.Evidence.ShowsLoss == true;

        private FrameSpan Longest(Func<Expectation, FrameTime, FrameSpan> figure)
        {
            var now = Session.Now;
            return Messages.Max(message => figure(message.Expectations().First(), now));
        }
    }
}
