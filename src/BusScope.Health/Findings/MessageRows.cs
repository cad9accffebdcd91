using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Findings;

/// <summary>The messages of a report, defined ones first.</summary>
internal sealed class MessageRows(SessionTrack session, FindingList findings, FrameTime now, bool isFinal)
{
    // A live view asks for a report twenty times a second: the bytes of many messages share an array, and so do their times. Short ones, for a
    // row that stays holds its array.
    private readonly SharedRoom<byte> bytes = new(1_024);
    private readonly SharedRoom<FrameTime> times = new(512);

    /// <summary>Defined messages in the order of the definitions, one row for each sender, then the other identifiers by bus and number.</summary>
    public IReadOnlyList<MessageHealth> Rows()
    {
        var rows = new List<MessageHealth>(Math.Max(session.Messages.Count, session.Tracks.Count));
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
            AddUnknown(bus, rows);
        }

        return rows;
    }

    private void AddUnknown(BusTrack bus, List<MessageHealth> rows)
    {
        var unknown = bus.Tracks.FindAll(track => track.Defined is null);
        unknown.Sort((left, right) => left.Id.CompareTo(right.Id));
        foreach (var track in unknown)
        {
            rows.Add(RowOf(track));
        }
    }

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
            Held = isFinal ? message.Condition?.HeldUntil(now) : null,
            BusIsSilent = bus is null ? session.Start.IsKnown : session.IsSilent(bus, now),
            Worst = findings.WorstOf(message),
        };
    }

    // Most messages come less often than a live view asks: a row of which nothing changed stays the same object.
    private MessageHealth RowOf(MessageTrack track)
    {
        var state = track.Expectation?.StateAt(now);
        var isSilent = session.IsSilent(track.Bus, now);
        var worst = track.Defined is { } message ? findings.WorstOf(message) : null;
        if (isFinal)
        {
            return NewRow(track, state, isSilent, worst);
        }

        if (track.Row is not { } row || row.Frames != track.Frames || row.State != state || row.BusIsSilent != isSilent || row.Worst != worst
            || row.DefinitionIndex != (track.Defined?.Index ?? -1)
            || row.LateGaps != (track.Expectation?.LateGaps.Count ?? 0) || row.StaleGaps != (track.Expectation?.StaleGaps.Count ?? 0))
        {
            track.Row = NewRow(track, state, isSilent, worst);
        }

        return track.Row!;
    }

    private MessageHealth NewRow(MessageTrack track, MessageState? state, bool isSilent, FindingSeverity? worst)
    {
        var expectation = track.Expectation;
        var longest = LongestGap(expectation);
        return new MessageHealth
        {
            Bus = track.Bus.Bus.Name,
            Id = track.Id,
            Definition = track.Defined?.Definition,
            DefinitionIndex = track.Defined?.Index ?? -1,
            State = state,
            BusIsSilent = isSilent,
            Frames = track.Frames,
            First = track.First,
            Last = track.Last,
            Period = track.Periods.Figures,
            LateGaps = expectation?.LateGaps.Count ?? 0,
            StaleGaps = expectation?.StaleGaps.Count ?? 0,
            LongestLateGap = longest?.Longest,
            LongestLateGapFrom = longest?.LongestFrom,
            CounterRepeated = track.Tally?.CounterRepeated.Count ?? 0,
            CounterSkipped = track.Tally is { } tally ? tally.CounterSkipped.Count + tally.CounterMissed.Count : 0,
            ChecksumBad = track.Tally?.ChecksumBad.Count ?? 0,
            WrongLength = track.WrongLength.Count,
            Senders = SenderCount.Of(track),
            Payload = bytes.Keep(track.Payloads.Latest(track.Length)),
            ChangedBits = bytes.Keep(track.Payloads.Changed(track.Length)),
            ChangedAt = times.Keep(track.Payloads.ChangedAt(track.Length)),
            History = isFinal ? track.History?.Recorded() : null,
            Held = isFinal ? track.Defined?.Condition?.HeldUntil(now) : null,
            Worst = worst,
        };
    }

    private static GapTally? LongestGap(Expectation? expectation) =>
        expectation is null || expectation.LateGaps.Count + expectation.StaleGaps.Count == 0 ? null
        : expectation.StaleGaps.Count > 0 ? expectation.StaleGaps
        : expectation.LateGaps;

    // Values one behind the other in arrays of a given length.
    private sealed class SharedRoom<T>(int length)
    {
        private Memory<T> left;

        public ReadOnlyMemory<T> Keep(ReadOnlySpan<T> values)
        {
            if (left.Length < values.Length)
            {
                left = new T[Math.Max(length, values.Length)];
            }

            var kept = left[..values.Length];
            values.CopyTo(kept.Span);
            left = left[values.Length..];
            return kept;
        }
    }
}
