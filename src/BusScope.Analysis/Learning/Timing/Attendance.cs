using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>A stretch of time within one capture.</summary>
/// <param name="Capture">The number of the capture, from 0.</param>
/// <param name="From">Its beginning.</param>
/// <param name="Until">Its end.</param>
public readonly record struct Stretch(int Capture, FrameTime From, FrameTime Until)
{
    /// <summary>How long it is.</summary>
    public FrameSpan Length => Until > From ? Until - From : FrameSpan.Zero;
}

/// <summary>When a message with a period was there, of the time in which it could be seen.</summary>
/// <param name="Present">The stretches without a silence longer than its stale time, in order.</param>
/// <param name="Seen">The stretches in which it could have been seen, one for each capture that has its bus.</param>
public sealed record Attendance(IReadOnlyList<Stretch> Present, IReadOnlyList<Stretch> Seen)
{
    /// <summary>A first frame may come as late as this part of the grace time, and the last as early: the rest is left for the next capture.</summary>
    public const double ShareOfLimit = 0.7;

    /// <summary>How long a first frame is awaited at the least (docs/health.md).</summary>
    private static readonly FrameSpan ShortestGrace = FrameSpan.FromSeconds(1);

    /// <summary>A first frame as late as this many periods, or a last one as early, is an absence; more where the longest gap says so.</summary>
    private const double PeriodsAtEnds = 2;
    private const double SpreadAtEnds = 1.5;
    private static readonly FrameSpan ShortestAbsence = FrameSpan.FromMilliseconds(500);

    /// <summary>A message that failed for so short a time in all was not switched off.</summary>
    private const double HiccupShare = 0.02;

    /// <summary>This part of a silence must be a pause of the whole recording to say nothing.</summary>
    private const double SharedPart = 0.8;

    /// <summary>Whether it was there all the time.</summary>
    public bool IsWhole { get; private init; }

    /// <summary>Whether it came and went so often that not every time is known.</summary>
    public bool IsRestless { get; private init; }

    /// <summary>The longest silence that is held to be a hiccup and no switching; none: zero.</summary>
    public FrameSpan LongestHiccup { get; private init; }

    /// <summary>The time in which it was there.</summary>
    public FrameSpan PresentTime => new(Present.Sum(stretch => stretch.Length.Nanoseconds));

    /// <summary>How often it came or went: what a state that it depends on must have done as well.</summary>
    public int Switches { get; private init; }

    /// <summary>How long a first frame is awaited.</summary>
    public static FrameSpan Grace(FrameSpan staleAfter) => staleAfter > ShortestGrace ? staleAfter : ShortestGrace;

    /// <summary>The attendance of an identifier.</summary>
    /// <param name="presences">When it was seen.</param>
    /// <param name="times">When something of its bus could be seen.</param>
    /// <param name="timing">Its period, its longest gap and its stale time.</param>
    public static Attendance Of(IReadOnlyList<Presence> presences, IReadOnlyList<BusTime> times, LearnedTiming timing)
    {
        ArgumentNullException.ThrowIfNull(timing);
        var staleAfter = timing.StaleAfter;
        var atEnds = AbsenceAtEnds(timing);
        var present = new List<Stretch>();
        var hiccups = new List<FrameSpan>();
        var (isWhole, isRestless, switches) = (true, false, 0);
        foreach (var time in times)
        {
            if (presences.FirstOrDefault(each => each.Capture == time.Seen.Capture) is not { } seen)
            {
                isWhole = false;
                continue;
            }

            var own = seen.Silences.Where(silence => silence.Length > staleAfter && !IsPause(silence, time)).ToList();
            if (own.Count <= 2 && own.TrueForAll(silence => silence.Length < ExpectedTiming.Cap(timing.Period!.Value)) && own.Sum(silence => silence.Length.Seconds) <= HiccupShare * time.Seen.Length.Seconds)
            {
                hiccups.AddRange(own.Select(silence => silence.Length));
                own.Clear();
            }

            isRestless |= seen.FurtherSilences > 0;
            var came = seen.First - time.Seen.From > Shorter(Grace(staleAfter) * ShareOfLimit, atEnds);
            var went = time.Seen.Until - seen.Last > Shorter(staleAfter * ShareOfLimit, atEnds);
            isWhole &= own.Count == 0 && !came && !went;
            switches += (2 * own.Count) + (came ? 1 : 0) + (went ? 1 : 0);

            // There from the beginning or to the end: its first and last frame lie a part of its period inside the capture.
            var there = new Stretch(seen.Capture, came ? seen.First : Earlier(seen.First, time.Seen.From), went ? seen.Last : Later(seen.Last, time.Seen.Until));
            Split(there, own, present);
        }

        return new Attendance(present, [.. times.Select(time => time.Seen)])
        {
            IsWhole = isWhole && !isRestless,
            IsRestless = isRestless,
            Switches = switches,
            LongestHiccup = hiccups.Count == 0 ? FrameSpan.Zero : hiccups.Max(),
        };
    }

    // Slow messages that begin or end with a state of the car would otherwise be there all the time of a short capture.
    private static FrameSpan AbsenceAtEnds(LearnedTiming timing)
    {
        var spread = timing.Measured!.Longest * SpreadAtEnds;
        var periods = timing.Period!.Value * PeriodsAtEnds;
        var longer = spread > periods ? spread : periods;
        return longer > ShortestAbsence ? longer : ShortestAbsence;
    }

    private static FrameSpan Shorter(FrameSpan a, FrameSpan b) => a < b ? a : b;

    private static FrameTime Earlier(FrameTime a, FrameTime b) => a < b ? a : b;

    private static FrameTime Later(FrameTime a, FrameTime b) => a > b ? a : b;

    private static void Split(Stretch there, List<Silence> silences, List<Stretch> present)
    {
        var from = there.From;
        foreach (var silence in silences)
        {
            present.Add(there with { From = from, Until = silence.From });
            from = silence.Until;
        }

        present.Add(there with { From = from });
    }

    private static bool IsPause(Silence silence, BusTime time) => time.Pauses.Any(quiet =>
    {
        var from = quiet.From > silence.From ? quiet.From : silence.From;
        var until = quiet.Until < silence.Until ? quiet.Until : silence.Until;
        return until > from && (until - from).Nanoseconds >= silence.Length.Nanoseconds * SharedPart;
    });
}
