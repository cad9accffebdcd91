using BusScope.Frames;
using BusScope.Health.Tracking;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public class StillWatchTests
{
    // Frames of 10 ms; each number is a stretch of so many frames with one value, and each true a pause of five seconds behind it. The model walks frame by frame.
    [Fact]
    public void The_last_rest_or_else_the_longest_is_found_wherever_blocks_steps_and_pauses_begin() =>
        (from stretches in Gen.Int[1, 400].Array[1, 12]
         from pauses in Gen.Frequency((3, Gen.Const(false)), (1, Gen.Const(true))).Array[12]
         from within in Gen.Int[1, 2000].Array[0, 3]
         from cuts in Gen.Int[1, 256].Array[40]
         from stride in Gen.Int[0, 1]
         select (stretches, pauses, within, cuts, stride)).Sample((stretches, pauses, within, cuts, stride) =>
        {
            var values = stretches.SelectMany((length, index) => Enumerable.Repeat((byte)(index % 2 == 0 ? 0 : 4), length)).ToList();
            var ends = stretches.Select((_, index) => stretches.Take(index + 1).Sum()).ToList();
            var paused = ends.Where((_, index) => pauses[index]).Concat(within).ToHashSet();
            var watch = new LifeWatch(Plan.Living);
            var (number, time) = (0, 0.0);
            for (var cut = 0; number < values.Count; cut++)
            {
                var block = new MessageBlock(stride == 0 ? 8 : 64, keepsNumbers: true);
                for (var i = 0; i < cuts[cut % cuts.Length] && number < values.Count && (i == 0 || !paused.Contains(number)); i++)
                {
                    block.Add(Some.Frame(0x100, $"FF{values[number]:X2}{number & 0xFF:X2}", time), ++number);
                    time += paused.Contains(number) ? 5_010 : 10;
                }

                watch.Add(block);
                if (paused.Contains(number))
                {
                    watch.Break();
                }
            }

            var expected = Model(Seen(stretches, ends, paused));
            var found = Assert.Single(watch.Watches).Frozen;
            Assert.Equal(expected, found is { } rest ? (rest.Number, rest.Frames) : null);
            var over = found is null ? 0 : paused.Count(at => at >= found.Value.Number && at < found.Value.UntilNumber);
            Assert.True(found is null || found.Value.Length == FrameSpan.FromMilliseconds(10 * (found.Value.Frames - 1 - over)));
            Assert.True(found is null || found.Value.Until - found.Value.From == FrameSpan.FromMilliseconds((10 * (found.Value.Frames - 1)) + (5_000 * over)));
        }, iter: 300);

    [Fact]
    public void Watching_allocates_nothing()
    {
        var watch = new LifeWatch(Plan.Living);
        var block = new MessageBlock(8);
        for (var i = 0; i < 256; i++)
        {
            block.Add(Some.Frame(0x100, $"00{i * 4 & 0xFF:X2}", i));
        }

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 400; i++)
            {
                watch.Add(block);
            }
        }));
    }

    private static MessagePlan Plan { get; } = new DefinitionPlan(DefinitionLoader.LoadText("busscope: 1\nmessages: { M: { id: 0x100, lives: 00 04 } }", "m.yaml").Definitions!).Messages[0];

    // What is something else after a pause was not seen to change.
    private static int[] Seen(int[] stretches, List<int> ends, HashSet<int> paused)
    {
        var seen = new List<int> { stretches[0] };
        for (var i = 1; i < stretches.Length; i++)
        {
            if (paused.Contains(ends[i - 1]))
            {
                seen[^1] += stretches[i];
            }
            else
            {
                seen.Add(stretches[i]);
            }
        }

        return [.. seen];
    }

    // The first stretch has no life before it: once another follows, it is only how long these bits may rest again. A rest counts from the frame that changed.
    private static (long Number, long Frames)? Model(int[] stretches)
    {
        (long Number, long Frames)? worst = null;
        var (usual, first, start) = (0L, 0L, 1L);
        for (var i = 0; i < stretches.Length; i++)
        {
            var frames = stretches[i];
            var isTooLong = frames >= 128 && frames >= 4 * usual && frames > first;
            if (i == 0 && stretches.Length > 1)
            {
                first = frames;
            }
            else if (isTooLong && (frames >= (worst?.Frames ?? 0) || i == stretches.Length - 1))
            {
                worst = frames > (worst?.Frames ?? 0) || i == stretches.Length - 1 ? (start, frames) : worst;
            }
            else if (!isTooLong)
            {
                // Rests within one step of 32 frames are not measured, and too short to matter.
                usual = Math.Max(usual, frames > 32 ? frames : 0);
            }

            start += frames;
        }

        return worst;
    }
}
