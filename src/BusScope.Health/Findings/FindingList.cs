using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Collects what is found, and remembers the worst against each message.</summary>
internal sealed class FindingList(SessionTrack session, Recordings recordings)
{
    private readonly List<Finding> all = [];
    private readonly List<LoneSender> loneSenders = [.. session.Buses.Select(LoneSender.On).OfType<LoneSender>()];

    // By index of the message.
    private readonly FindingSeverity?[] worst = new FindingSeverity?[session.Messages.Count];

    /// <summary>What was found so far.</summary>
    public IReadOnlyList<Finding> All => all;

    /// <summary>Adds a finding.</summary>
    public void Add(Finding finding) => all.Add(finding);

    /// <summary>
    /// Adds a finding against a message: its bus, its name and the modules that live on it are filled in. What the recording, or a bus on which nobody acknowledges, explains is told with that.
    /// </summary>
    /// <param name="message">The message.</param>
    /// <param name="finding">What was found.</param>
    /// <param name="bus">The bus on which it was seen; null for the one that it is expected on.</param>
    public void Add(DefinedMessage message, Finding finding, BusTrack? bus = null)
    {
        if (loneSenders.Exists(lone => lone.Takes(message, bus ?? session.Places.TrackOf(message), finding)))
        {
            Weigh(message, finding.Severity);
            return;
        }

        if (recordings.Takes(message, bus ?? session.Places.TrackOf(message), finding))
        {
            Weigh(message, FindingSeverity.Warning);
            return;
        }

        var definition = message.Definition;
        all.Add(finding with
        {
            Bus = bus?.Bus.Name ?? finding.Bus ?? (session.Places.MayComeOnAny(message) ? null : session.Places.BusOf(message)),
            Message = definition.Name,
            Modules = definition.NeededBy,
        });
        Weigh(message, finding.Severity);
    }

    /// <summary>Something that is reported elsewhere weighs on a message too.</summary>
    public void Weigh(DefinedMessage message, FindingSeverity severity)
    {
        if (worst[message.Index] is not { } before || severity > before)
        {
            worst[message.Index] = severity;
        }
    }

    /// <summary>The worst against a message, or null.</summary>
    public FindingSeverity? WorstOf(DefinedMessage message) => worst[message.Index];

    /// <summary>Whether nobody can vouch for a message: it could not be judged, or it never came and nothing says why.</summary>
    public bool LeaveOpen(MessageJudgement judgement) =>
        !judgement.IsJudged || (judgement.State == MessageState.Missing && WorstOf(judgement.Message) is null);

    /// <summary>Says on which buses nobody acknowledges, once all that follows from it was found.</summary>
    public void ReportLoneSenders() => loneSenders.ForEach(lone => Add(lone.Finding()));

    /// <summary>Worst first; of equal weight what is wrong with a whole bus or its recording, then modules that are gone themselves, then what left a message without a judgement; then by time.</summary>
    public IReadOnlyList<Finding> Sorted() =>
        [.. all.OrderByDescending(finding => finding.Severity).ThenBy(Rank).ThenBy(finding => finding.At ?? FrameTime.Never)];

    private static int Rank(Finding finding) =>
        finding.Severity == FindingSeverity.Note ? 0
        : finding.IsOfTheBus || finding.Code == FindingCodes.BeganTogether ? 0
        : finding.Code == FindingCodes.ModuleSilent ? 1
        : finding.Code == FindingCodes.PayloadStuck ? 2
        : 3;

    /// <summary>A moment for a person: seconds since the session's first frame.</summary>
    public string Moment(FrameTime at) => string.Create(CultureInfo.InvariantCulture, $"{(at - session.Earliest).Seconds:0.###} s");
}
