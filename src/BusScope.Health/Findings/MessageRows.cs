using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Findings;

/// <summary>The messages of a report, defined ones first.</summary>
internal sealed class MessageRows(SessionTrack session, FindingList findings, FrameTime now, bool isFinal)
{
    // One array for the bytes of all messages and one for their times: a live view asks for a report twenty times a second.
    private readonly byte[] bytes = new byte[2 * LengthOf(session)];
    private readonly FrameTime[] times = new FrameTime[session.Tracks.Sum(track => track.Payloads.ChangedAt(track.Length).Length)];
    private int bytesUsed;
    private int timesUsed;

    /// <summary>Defined messages in the order of the definitions, one row for each sender, then the other identifiers by bus and number.</summary>
    public IReadOnlyList<MessageHealth> Rows()
    {
        var rows = new List<MessageHealth>(session.Messages.Count + session.Tracks.Count);
        foreach (var message in session.Messages)
        {
            if (message.Tracks.Count == 0)
            {
                rows.Add(Unseen(message));
            }

            foreach (var track in message.Tracks)
            {
                rows.Add(RowOf(track));
            }
        }

        foreach (var bus in session.Buses)
        {
            rows.AddRange(bus.Tracks.Where(track => track.Defined is null).OrderBy(track => track.Id).Select(RowOf));
        }

        return rows;
    }

    private static int LengthOf(SessionTrack session) => session.Tracks.Sum(track => track.Length);

    private static ReadOnlyMemory<T> Kept<T>(ReadOnlySpan<T> values, T[] room, ref int used)
    {
        values.CopyTo(room.AsSpan(used));
        used += values.Length;
        return room.AsMemory(used - values.Length, values.Length);
    }

    private static PeriodFigures Figures(PeriodStatistics periods) => periods.Count == 0
        ? new PeriodFigures()
        : new PeriodFigures
        {
            Median = new FrameSpan(periods.Median()),
            P05 = new FrameSpan(periods.Quantile(0.05)),
            P95 = new FrameSpan(periods.Quantile(0.95)),
            Longest = new FrameSpan(periods.Longest),
        };

    private MessageHealth Unseen(DefinedMessage message)
    {
        var bus = session.Places.TrackOf(message);
        return new MessageHealth
        {
            Bus = session.Places.BusOf(message),
            Id = message.Definition.Key is MessageKey.Identifier key ? key.Id : null,
            Definition = message.Definition,
            DefinitionIndex = message.Index,
            State = message.Unseen?.StateAt(now),
            Held = isFinal ? session.Conditions.HeldOf(message, now) : null,
            BusIsSilent = bus is null ? session.Start.IsKnown : session.IsSilent(bus, now),
            Worst = findings.WorstOf(message),
        };
    }

    private MessageHealth RowOf(MessageTrack track)
    {
        var expectation = track.Expectation;
        var longest = LongestGap(expectation);
        return new MessageHealth
        {
            Bus = track.Bus.Bus.Name,
            Id = track.Id,
            Definition = track.Defined?.Definition,
            DefinitionIndex = track.Defined?.Index ?? -1,
            State = expectation?.StateAt(now),
            BusIsSilent = session.IsSilent(track.Bus, now),
            Frames = track.Frames,
            First = track.First,
            Last = track.Last,
            Period = Figures(track.Periods),
            LateGaps = expectation?.LateGaps.Count ?? 0,
            StaleGaps = expectation?.StaleGaps.Count ?? 0,
            LongestLateGap = longest?.Longest,
            LongestLateGapFrom = longest?.LongestFrom,
            CounterRepeated = track.Tally?.CounterRepeated.Count ?? 0,
            CounterSkipped = track.Tally?.CounterSkipped.Count ?? 0,
            ChecksumBad = track.Tally?.ChecksumBad.Count ?? 0,
            WrongLength = track.WrongLength.Count,
            Senders = SenderCount.Of(track),
            Payload = Kept(track.Payloads.Latest(track.Length), bytes, ref bytesUsed),
            ChangedBits = Kept(track.Payloads.Changed(track.Length), bytes, ref bytesUsed),
            ChangedAt = Kept(track.Payloads.ChangedAt(track.Length), times, ref timesUsed),
            History = isFinal ? track.History?.Recorded() : null,
            Held = isFinal && track.Defined is { } defined ? session.Conditions.HeldOf(defined, now) : null,
            Worst = track.Defined is { } message ? findings.WorstOf(message) : null,
        };
    }

    private static GapTally? LongestGap(Expectation? expectation) =>
        expectation is null || expectation.LateGaps.Count + expectation.StaleGaps.Count == 0 ? null
        : expectation.StaleGaps.Count > 0 ? expectation.StaleGaps
        : expectation.LateGaps;
}
