using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.History;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// Everything seen of one identifier on one bus, defined or not. Frames are gathered in a block and worked through together
/// (<see cref="Flush"/>); what a frame says is therefore known only after a flush.
/// </summary>
internal sealed class MessageTrack
{
    // So many gaps show a period. This program's choice.
    private const long FewestGaps = 8;

    // Identifiers that are met a few times only, as in a scan of all of them, shall not claim 512 rows each.
    private const int FramesBeforeGathering = 16;

    private Gathering gathering;
    private FrameTime last = FrameTime.Never;
    private bool isGapBroken = true;

    // The counter of the frame before a silence of the bus, until the frame after it came.
    private int? counterBefore;
    private FrameTime pausedAt;

    /// <summary>A track that has seen nothing.</summary>
    /// <param name="number">Its number in the session.</param>
    /// <param name="bus">Its bus.</param>
    /// <param name="id">Its identifier.</param>
    /// <param name="gathering">Where its frames are gathered.</param>
    public MessageTrack(int number, BusTrack bus, CanId id, Gathering gathering)
    {
        Number = number;
        Bus = bus;
        Id = id;
        this.gathering = gathering;
        Payloads = new PayloadTrack(gathering.MarksChanges);
        gathering.AddSlot(number);
        Numbers = NewNumbers();
    }

    /// <summary>Its number in the session.</summary>
    public int Number { get; }

    /// <summary>The bus.</summary>
    public BusTrack Bus { get; private set; }

    /// <summary>The identifier.</summary>
    public CanId Id { get; }

    /// <summary>The definition, or null.</summary>
    public DefinedMessage? Defined { get; private set; }

    /// <summary>What was seen of its content, or null where it has no definition.</summary>
    public MessageTally? Tally { get; private set; }

    /// <summary>Whether what is meant to live in it does, or null where nothing is.</summary>
    public LifeWatch? Life { get; private set; }

    /// <summary>When its period was off, or null where it has none.</summary>
    public PaceWatch? Pace { get; private set; }

    /// <summary>What is expected of it in time, or null.</summary>
    public Expectation? Expectation { get; private set; }

    /// <summary>Whether a condition reads it.</summary>
    public bool IsWatched { get; private set; }

    /// <summary>Data frames seen.</summary>
    public long Frames { get; private set; }

    /// <summary>Frames of another length than defined.</summary>
    public Occurrences WrongLength { get; private set; } = new();

    /// <summary>The shortest and the longest of them in bytes; meaningless while there are none.</summary>
    public (int Shortest, int Longest) WrongLengths { get; private set; } = (int.MaxValue, int.MinValue);

    /// <summary>The densest stretch of frames of a wrong length.</summary>
    public StretchCounter LengthStretch { get; private set; } = new();

    /// <summary>The densest stretch of wrong checksums.</summary>
    public StretchCounter ChecksumStretch { get; private set; } = new();

    /// <summary>The densest stretch of counters that stood still or jumped.</summary>
    public StretchCounter CounterStretch { get; private set; } = new();

    /// <summary>When first; meaningless before the first frame.</summary>
    public FrameTime First { get; private set; }

    /// <summary>When last, up to the latest flush.</summary>
    public FrameTime Last => last;

    /// <summary>The gaps between its frames.</summary>
    public PeriodStatistics Periods { get; private set; } = new();

    /// <summary>Whether it is meant to come at a period and at nothing else, and came often enough to show it.</summary>
    public bool ShowsPeriod => Defined?.Definition.Timing is { Every: not null, OnChange: false } && Periods.Count >= FewestGaps;

    /// <summary>In which frames it came, and something was wrong, where that is kept.</summary>
    public FrameNumbers? Numbers { get; private set; }

    /// <summary>When its frames came at which gaps, where that is kept.</summary>
    public BinSeries<GapBin>? History { get; set; }

    /// <summary>What the latest report said of it while the source went on, or null.</summary>
    public MessageHealth? Row { get; set; }

    /// <summary>The length of the latest payload.</summary>
    public byte Length { get; private set; }

    /// <summary>What its payloads were, and which bits of them ever changed.</summary>
    public PayloadTrack Payloads { get; private set; }

    /// <summary>The same track among copies of all that it knows, which goes on by itself.</summary>
    public MessageTrack For(BusTrack bus, DefinedMessage? defined, Gathering gathered)
    {
        var copy = (MessageTrack)MemberwiseClone();
        copy.gathering = gathered;
        copy.Bus = bus;
        copy.Defined = defined;
        copy.Tally = Tally?.Copy();
        copy.Life = Life?.Copy();
        copy.Pace = Pace?.Copy();
        copy.Expectation = Expectation?.Copy();
        copy.WrongLength = WrongLength.Copy();
        copy.LengthStretch = LengthStretch.Copy();
        copy.ChecksumStretch = ChecksumStretch.Copy();
        copy.CounterStretch = CounterStretch.Copy();
        copy.Periods = Periods.Copy();
        copy.Numbers = Numbers?.For(copy.WrongLength, copy.Tally, copy.Expectation);
        copy.History = History?.Copy();
        copy.Payloads = Payloads.Copy();
        return copy;
    }

    /// <summary>Says which definition the frames are instances of; what was seen of another is forgotten.</summary>
    public void Define(DefinedMessage? defined, Expectation? expectation)
    {
        Flush();
        gathering.Close(Number);
        Defined = defined;
        Expectation = expectation;
        counterBefore = null;
        IsWatched = defined?.IsWatched ?? false;
        Pace = defined is null ? null : PaceWatch.Of(defined.Definition.Timing);
        Tally = defined is null ? null : new MessageTally(defined.Plan.Signals.Count);
        Life = defined is { Plan.Living: { Count: > 0 } living } ? new LifeWatch(living) : null;
        Numbers = NewNumbers();
    }

    private FrameNumbers? NewNumbers() => gathering.KeepsNumbers ? new FrameNumbers(WrongLength, Tally, Expectation) : null;

    /// <summary>Works through the frames gathered.</summary>
    public void Flush()
    {
        if (gathering.Take(Number) is { } block)
        {
            Work(block);
        }
    }

    /// <summary>The whole bus was silent: what the counter does over it is no fault.</summary>
    public void Interrupt(FrameTime from, FrameTime until)
    {
        Flush();
        counterBefore = Defined is { } defined && last.IsKnown && Defined.Definition.Timing.Every is not null ? defined.Plan.Counter(Payloads.Latest(Length)) : null;
        pausedAt = last;
        BreakContent();
        Pace?.Break();
        Expectation?.Interrupt(from, until);
    }

    /// <summary>The next gap is no gap of this message: time was set back, or nothing was expected in between.</summary>
    public void BreakGap()
    {
        Flush();
        BreakContent();
        Pace?.Break();
        isGapBroken = true;
    }

    private void BreakContent()
    {
        Tally?.Break();
        Life?.Break();
    }

    private void Scan(DefinedMessage defined, MessageBlock rows, MessageTally tally)
    {
        var checksums = tally.ChecksumBad.Count;
        var counters = tally.CounterBreaks;
        if (counterBefore is { } before)
        {
            counterBefore = null;
            if (defined.Plan.Counter(rows.Payload(0)) is { } after)
            {
                Weigh(defined, before, after, new FrameTime(rows.Times[0]));
            }
        }

        defined.Plan.Scan(rows, tally);
        ChecksumStretch.Add(tally.ChecksumBad.Count - checksums, rows.Count);
        CounterStretch.Add(tally.CounterBreaks - counters, rows.Count);
        LengthStretch.Add(0, rows.Count);
    }

    // Rare: once for each message after a silence of its bus.
    private void Weigh(DefinedMessage defined, int before, int after, FrameTime at)
    {
        var counter = defined.Definition.Counter!;
        var sent = (long)Math.Round((at - pausedAt).Nanoseconds / (double)defined.Definition.Timing.Every!.Value.Nanoseconds);
        int? steps = null;
        for (var (value, step) = (before, 0); step <= counter.Modulo && steps is null && value >= 0; step++)
        {
            steps = value == after ? step : null;
            value = defined.Plan.CounterAfter(value);
        }

        Bus.Evidence.Add(steps, sent, counter.Modulo);
    }

    /// <summary>
    /// Takes in a frame that its track does not gather (any more, or yet): one of the first of its identifier, or of another length than
    /// those before it.
    /// </summary>
    /// <param name="frame">The frame.</param>
    /// <param name="frameNumber">Its number in the session.</param>
    public void Accept(in Frame frame, long frameNumber)
    {
        var fits = Defined?.Takes(frame.Length) ?? true;
        Flush();
        if (Frames == 0)
        {
            First = frame.Time;
        }

        Payloads.MakeRoom(frame, Defined?.LongestLength ?? 0);
        if (!fits || !TryGather(frame, frameNumber))
        {
            WorkSingly(frame, frameNumber, fits);
        }
    }

    private bool TryGather(in Frame frame, long frameNumber)
    {
        if (Defined is null && Frames < FramesBeforeGathering)
        {
            return false;
        }

        var isLong = Math.Max((int)frame.Length, Defined?.LongestLength ?? Payloads.Stride) > Payload.ClassicCapacity;
        return gathering.TryOpen(Number, frame.Length, isLong, Defined is not null, !IsWatched) && gathering.TryAdd(Number, frame, frameNumber, out _);
    }

    private void WorkSingly(in Frame frame, long frameNumber, bool fits)
    {
        Frames++;
        Length = frame.Length;
        if (!fits)
        {
            // The frame is not scanned, so that the counter of the next one cannot follow on it.
            WrongLength.Add(frame.Time);
            WrongLengths = (Math.Min(WrongLengths.Shortest, frame.Length), Math.Max(WrongLengths.Longest, frame.Length));
            LengthStretch.Add(1, 1);
            Tally?.Break();
        }

        var time = frame.Time.Nanoseconds;
        Arrive(new ReadOnlySpan<long>(in time), Numbers is null ? default : new ReadOnlySpan<long>(in frameNumber));
        Span<byte> row = stackalloc byte[Payload.Capacity];
        frame.Data.CopyTo(row);
        Payloads.Note(row[..Payloads.Stride], new ReadOnlySpan<long>(in time), Payloads.Stride);
        Numbers?.Note(new ReadOnlySpan<long>(in time), new ReadOnlySpan<long>(in frameNumber));
    }

    private void Work(MessageBlock block)
    {
        Arrive(block.Times, block.Numbers);
        if (Defined is { } defined && Tally is { } tally)
        {
            Scan(defined, block, tally);
        }

        // A car that is off, as its condition says, may rest.
        if (Defined is not { IsOff: true })
        {
            Life?.Add(block);
        }

        Payloads.Note(block.Rows, block.Times, block.Stride);
        Length = block.Lengths[^1];
        Frames += block.Count;
        Numbers?.Note(block.Times, block.Numbers);
    }

    private void Arrive(ReadOnlySpan<long> times, ReadOnlySpan<long> numbers)
    {
        var gaps = gathering.Gaps[..times.Length];
        var range = GapRange.Write(isGapBroken ? GapRange.None : times[0] - last.Nanoseconds, times, gaps);
        Periods.Add(gaps, range);
        for (var i = 0; History is not null && i < times.Length; i++)
        {
            History.At(times[i]).Add(gaps[i]);
        }

        if (Defined is { IsOff: false })
        {
            Pace?.Arrive(times, numbers, gaps, range);
        }

        Expectation?.Arrive(times, range.Longest);
        last = new FrameTime(times[^1]);
        isGapBroken = false;
    }
}
