using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Judges every defined message: whether it came, in time, with sound content.</summary>
internal sealed class MessageJudge(SessionTrack session, FindingList findings, Recordings recordings, WrongBusSearch wrongBus, FrameTime now, bool isFinal)
{
    private readonly LateBeginnings beginnings = new(session);
    private readonly HashSet<string> aliveMessages = new(session.Plan.Definitions.Modules.Select(module => module.Alive).OfType<string>(), StringComparer.Ordinal);
    private readonly QuietEnds quietEnds = new();
    private CommonEndings? endings;
    private CommonAbsences? absences;
    private CommonGaps? gaps;
    private LateWakings? wakings;

    /// <summary>One judgement for each message, in the order of the definitions.</summary>
    public IReadOnlyList<MessageJudgement> Judge()
    {
        var judgements = new List<MessageJudgement>(session.Messages.Count);
        var row = 0;
        endings = new CommonEndings(session, session.Messages.Where(message => message.Tracks.TrueForAll(HasStopped) && message.Tracks.Count > 0 && !wrongBus.Claims(message)
            && !IsOfRecording(message, FindingCodes.MessageStopped, message.Tracks[0].Last)));
        absences = new CommonAbsences(session, session.Messages.Where(message => message.Unseen is { } expectation && IsMissing(message, expectation)
            && !IsOfRecording(message, FindingCodes.MessageMissing, expectation.AwaitedSince)));
        var stale = session.Messages.Where(message => message.Tracks is [{ Expectation.StaleGaps: { Count: 1 } once }] && !beginnings.Holds(message)
            && !IsOfRecording(message, FindingCodes.MessageStale, once.First)).ToList();
        gaps = new CommonGaps(session, stale);
        wakings = new LateWakings(session, stale);
        foreach (var message in session.Messages)
        {
            judgements.Add(message.Tracks.Count == 0 ? Unseen(message, row) : Seen(message, row));
            row += Math.Max(1, message.Tracks.Count);
        }

        beginnings.Report(findings);
        wakings!.Report(findings);
        gaps!.Report(findings);
        absences!.Report(findings);
        endings!.Report(findings);
        quietEnds.Report(findings, now);
        wrongBus.Report(findings);
        return judgements;
    }

    private MessageJudgement Unseen(DefinedMessage message, int row)
    {
        if (message.Unseen is not { } expectation)
        {
            return new MessageJudgement(message, null, IsTimed: true, row);
        }

        var state = expectation.StateAt(now);
        if (!absences!.Holds(message) && IsMissing(message, expectation))
        {
            var at = JudgedAt(session.Places.TrackOf(message))!.Value;
            Lost(message, new Finding(
                FindingCodes.MessageMissing,
                session.Needs.SeverityOf(message.Definition),
                $"{message.Definition.Name} never came{(session.Places.MayComeOnAny(message) ? " on any bus" : "")}: awaited for {expectation.AwaitedFor(at)}")
            {
                At = expectation.AwaitedSince,
            });
        }

        return new MessageJudgement(message, state, state == MessageState.Missing, row)
        {
            IsConditionKnown = IsKnown(message, expectation),
            IsRecorded = recordings.IsWhole(session.Places.TrackOf(message)) && !wrongBus.Renames(session.Places.BusOf(message)),
        };
    }

    private MessageJudgement Seen(DefinedMessage message, int firstRow)
    {
        var best = 0;
        for (var i = 1; i < message.Tracks.Count; i++)
        {
            if (RankAt(message.Tracks[i]) < RankAt(message.Tracks[best]))
            {
                best = i;
            }
        }

        var openSilence = OpenEnding.Of(message.Tracks[best], JudgedAt(message.Tracks[best].Bus));
        for (var i = 0; i < message.Tracks.Count; i++)
        {
            // Where several send the message, one that delivers is enough; what the others lack starves nobody.
            var severity = i == best ? session.Needs.SeverityOf(message.Definition) : FindingSeverity.Warning;
            var track = message.Tracks[i];
            Stopped(message, track, severity);
            new TimingFindings(findings, message, track, severity) { EndsAt = isFinal && !(i == best && openSilence is not null) ? JudgedAt(track.Bus) : null, QuietEnds = quietEnds, WasStaleWithOthers = beginnings.Holds(message) || wakings!.Holds(message) || gaps!.Holds(message) }.Find();
            new ContentFindings(findings, message, track, severity).Find();
            new LifeFindings(findings, message, track, severity).Find();
            new ConstantFindings(findings, message, track).Find();
        }

        var expectation = message.Tracks[best].Expectation;
        return new MessageJudgement(
            message,
            expectation?.StateAt(now),
            expectation is null || (expectation.EverHeld && expectation.HeldAt(now) >= expectation.StaleAfter),
            firstRow + best)
        {
            IsConditionKnown = IsKnown(message, expectation),
            IsRecorded = recordings.IsWhole(message.Tracks[best].Bus),
            OpenSilence = openSilence,
            BeganWithOthers = beginnings.Holds(message),
            IsAtRest = message.Tracks[best].Life?.WholePayload?.IsFrozen == true,
            NeverTold = new PayloadContrast(message, message.Tracks[best]) is var contrast && (contrast.NeverTold || contrast.TellsNoMore),
        };
    }

    private void Stopped(DefinedMessage message, MessageTrack track, FindingSeverity severity)
    {
        if (HasStopped(track) && !endings!.Holds(message) && !wrongBus.Claims(message))
        {
            var (expectation, at) = (track.Expectation!, JudgedAt(track.Bus)!.Value);
            Lost(message, new Finding(
                FindingCodes.MessageStopped,
                severity,
                $"{message.Definition.Name} stopped at {findings.Moment(track.Last)}: nothing for {at - track.Last}, stale after {expectation.StaleAfter}")
            {
                Bus = track.Bus.Bus.Name,
                At = track.Last,
                Frame = track.Numbers?.Latest,
            });
        }
    }

    // A module's own message that nobody else needs tells of the module, not of a message: that is said once, elsewhere.
    private void Lost(DefinedMessage message, Finding finding)
    {
        if (message.Definition.NeededBy.Count == 0 && aliveMessages.Contains(message.Definition.Name) && !recordings.Takes(message, session.Places.TrackOf(message), finding))
        {
            findings.Weigh(message, FindingSeverity.Fault);
        }
        else
        {
            findings.Add(message, finding);
        }
    }

    // What a bus's silence explains is not held against its messages: they are judged at the moment of its last frame.
    private FrameTime? JudgedAt(BusTrack? bus) =>
        bus is null || (!bus.Latest.IsKnown && session.IsSilent(bus, now)) ? null
        : session.IsSilent(bus, now) ? bus.Latest
        : bus.Recorded(now);

    // Whoever stops while nobody knows whether it should come is not found; a shorter time hides nothing.
    private bool IsKnown(DefinedMessage message, Expectation? expectation) =>
        expectation is null || message.Condition?.UnknownAt(session.Places.TrackOf(message)?.Recorded(session.Heard) ?? session.Heard) is not { } unknown || unknown.Length <= expectation.StaleAfter;

    // Told with the recording, however many they are.
    private bool IsOfRecording(DefinedMessage message, string code, FrameTime at) =>
        recordings.Explains(message, message.Tracks.Count > 0 ? message.Tracks[0].Bus : session.Places.TrackOf(message), new Finding(code, FindingSeverity.Fault, "") { At = at });

    private bool IsMissing(DefinedMessage message, Expectation expectation) =>
        expectation.StateAt(now) == MessageState.Missing && !wrongBus.Claims(message) && JudgedAt(session.Places.TrackOf(message)) is { } at
        && expectation.StateAt(at) == MessageState.Missing;

    private bool HasStopped(MessageTrack track) => track.Expectation is { } expectation && JudgedAt(track.Bus) is { } at && expectation.StateAt(at) == MessageState.Stale;

    private int RankAt(MessageTrack track) => track.Expectation is { } expectation ? MessageJudgement.RankOf(expectation.StateAt(now)) : 0;
}
