using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Signals.Definitions;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Expectations;

public class ExpectationTests
{
    private const long Millisecond = FrameSpan.NanosecondsPerMillisecond;
    private const long Late = 150 * Millisecond;
    private const long Stale = 400 * Millisecond;
    private const long Grace = 1_000 * Millisecond;

    private static readonly MessageTiming Timing = new()
    {
        Every = FrameSpan.FromMilliseconds(100),
        LateAfter = new FrameSpan(Late),
        StaleAfter = new FrameSpan(Stale),
    };

    private enum Act
    {
        Arrive,
        Toggle,
        Silence,
    }

    [Fact]
    public void States_and_gaps_are_those_of_a_naive_list_of_events() =>
        (from acts in Gen.Select(
            Gen.Frequency((20, Gen.Const(Act.Arrive)), (1, Gen.Const(Act.Toggle)), (1, Gen.Const(Act.Silence))),
            Gen.OneOf(Gen.Int[1, 120], Gen.Int[100, 1_500])).Array[0, 60]
         from rows in Gen.Int[1, 7]
         select (acts, rows)).Sample((acts, rows) =>
        {
            var expectation = new Expectation(Timing) { Condition = new Condition("on", null, [], [], keepsTimes: false) };
            var model = new Model();
            var gathered = new List<long>();
            var before = 0L;
            var now = 0L;
            foreach (var (act, step) in acts)
            {
                var from = now;
                now += step * Millisecond;
                switch (act)
                {
                    case Act.Arrive:
                        gathered.Add(now);
                        model.Arrive(now);
                        break;
                    case Act.Toggle:
                        Flush();
                        if (expectation.Holds)
                        {
                            expectation.End(new FrameTime(now), new FrameTime(now));
                        }
                        else
                        {
                            expectation.Begin(new FrameTime(now));
                        }

                        model.Toggle(now);
                        break;
                    case Act.Silence:
                        Flush();
                        expectation.Interrupt(new FrameTime(from), new FrameTime(now));
                        model.Silence(from, now);
                        break;
                }

                if (gathered.Count >= rows)
                {
                    Flush();
                }
            }

            Flush();

            Assert.Equal(model.StaleGaps.Count, expectation.StaleGaps.Count);
            Assert.Equal(model.StaleGaps.DefaultIfEmpty(0).Max(), expectation.StaleGaps.Longest.Nanoseconds);
            Assert.Equal(model.LateGaps.Count, expectation.LateGaps.Count);
            foreach (var later in (long[])[0, Late, Late + 1, Stale, Stale + 1, Grace, Grace + 1])
            {
                Assert.Equal(model.StateAt(now + later), expectation.StateAt(new FrameTime(now + later)));
            }

            void Flush()
            {
                if (gathered.Count > 0)
                {
                    // As the monitor does: the longest gap of the block, the one from the frame before included.
                    var longest = gathered.Prepend(before).Zip(gathered, (left, right) => right - left).Max();
                    expectation.Arrive(gathered.ToArray(), longest);
                    before = gathered[^1];
                    gathered.Clear();
                }
            }
        });

    [Fact]
    public void A_message_without_a_condition_is_awaited_before_the_session_begins() =>
        Assert.Equal(MessageState.Awaited, new Expectation(Timing).StateAt(FrameTime.Never));

    [Fact]
    public void The_grace_time_is_never_shorter_than_the_stale_time()
    {
        var slow = new Expectation(Timing with { LateAfter = FrameSpan.FromSeconds(3), StaleAfter = FrameSpan.FromSeconds(10) });

        slow.Begin(new FrameTime(0));

        Assert.Equal(MessageState.Awaited, slow.StateAt(new FrameTime(0) + FrameSpan.FromSeconds(10)));
        Assert.Equal(MessageState.Missing, slow.StateAt(new FrameTime(0) + FrameSpan.FromSeconds(10.001)));
    }

    // The same rules, told as a plain walk over every moment that matters.
    private sealed class Model
    {
        private bool holds;
        private bool wasSeen;
        private long? lastSinceAwaited;
        private long awaitedFrom;

        public List<long> StaleGaps { get; } = [];

        public List<long> LateGaps { get; } = [];

        public void Arrive(long now)
        {
            Measure(now);
            wasSeen = true;
            lastSinceAwaited = holds ? now : null;
        }

        public void Toggle(long now)
        {
            Measure(now);
            holds = !holds;
            (awaitedFrom, lastSinceAwaited) = (now, null);
        }

        public void Silence(long from, long until)
        {
            Measure(from);
            (awaitedFrom, lastSinceAwaited) = (until, null);
        }

        public MessageState StateAt(long moment)
        {
            if (!holds)
            {
                return MessageState.Idle;
            }

            if (lastSinceAwaited is not { } last)
            {
                return moment - awaitedFrom <= Grace ? MessageState.Awaited : wasSeen ? MessageState.Stale : MessageState.Missing;
            }

            return (moment - last) switch
            {
                <= Late => MessageState.Fresh,
                <= Stale => MessageState.Late,
                _ => MessageState.Stale,
            };
        }

        private void Measure(long now)
        {
            var gap = now - (lastSinceAwaited ?? awaitedFrom);
            if (!holds || gap <= Late)
            {
                return;
            }

            if (gap > (lastSinceAwaited is null ? Grace : Stale))
            {
                StaleGaps.Add(gap);
            }
            else if (lastSinceAwaited is not null)
            {
                LateGaps.Add(gap);
            }
        }
    }
}
