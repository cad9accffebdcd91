using System.Reflection;
using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests;

/// <summary>A copy of a monitor is exact, and nothing that happens to the one reaches the other.</summary>
public sealed class MonitorCopyTests
{
    private static readonly HealthMonitor Fresh = Car.Monitor();

    // What is never changed once it is made, so that copies share it.
    private static readonly HashSet<Type> Frozen =
    [
        typeof(DefinitionPlan), typeof(MessagePlan), typeof(MonitorOptions), typeof(Bus), typeof(ConditionPlan), typeof(string), typeof(LivingBits),
        typeof(PeriodFigures), typeof(MessageHealth),
    ];

    [Fact]
    public void A_copy_and_its_original_both_end_as_a_run_without_a_cut() => Traffic.Sample(
        traffic =>
        {
            var (frames, cut, keepsAll) = traffic;
            var whole = Monitor(keepsAll);
            Accept(whole, frames);
            var original = Monitor(keepsAll);
            Accept(original, frames[..cut]);

            var copy = original.Copy();
            Accept(original, frames[cut..]);
            Accept(copy, frames[cut..]);

            var expected = Dump.Of(whole.Report(isFinal: true));
            Assert.Equal(expected, Dump.Of(original.Report(isFinal: true)));
            Assert.Equal(expected, Dump.Of(copy.Report(isFinal: true)));
        },
        iter: 30);

    [Fact]
    public void A_copy_says_the_same_at_once_and_goes_on_saying_it_while_the_original_goes_on() => Traffic.Sample(
        traffic =>
        {
            var (frames, cut, keepsAll) = traffic;
            var original = Monitor(keepsAll);
            Accept(original, frames[..cut]);
            var copy = original.Copy();
            var said = Dump.Of(original.Report(isFinal: false));

            Accept(original, frames[cut..]);

            Assert.Equal(said, Dump.Of(copy.Report(isFinal: false)));
        },
        iter: 10);

    [Fact]
    public void A_copy_shares_nothing_that_changes()
    {
        var monitor = Monitor(keepsAll: true);
        Accept(monitor, [.. Faulty(new Random(7))]);
        var long64 = Some.Frame(0x555, string.Concat(Enumerable.Repeat("01", 64)), milliseconds: 20_000, kinds: FrameKinds.FlexibleDataRate);
        Accept(monitor, [.. Enumerable.Repeat(long64, 40)]);
        var mine = Changeable(monitor);

        var shared = Changeable(monitor.Copy()).Keys.Where(mine.ContainsKey).Select(each => mine[each]).Order().ToList();

        Assert.Empty(shared);
        Assert.True(mine.Count > 200, $"{mine.Count} objects were found");
    }

    private static readonly Gen<(Frame[] Frames, int Cut, bool KeepsAll)> Traffic =
        from seed in Gen.Int[0, int.MaxValue]
        from share in Gen.Double[0, 1]
        from keepsAll in Gen.Bool
        select Case(seed, share, keepsAll);

    private static (Frame[] Frames, int Cut, bool KeepsAll) Case(int seed, double share, bool keepsAll)
    {
        Frame[] frames = [.. Faulty(new Random(seed))];
        return (frames, (int)(share * frames.Length), keepsAll);
    }

    // Ten seconds of the car with gaps, repeated counters, wrong checksums, frames of unknown identifiers and of other lengths.
    private static IEnumerable<Frame> Faulty(Random dice)
    {
        var car = Car.Healthy();
        for (var i = 0; i < 6; i++)
        {
            var from = dice.NextDouble() * 10;
            switch (dice.Next(5))
            {
                case 0: car.Without(0x0C8, from, from + dice.NextDouble()); break;
                case 1: car.Without((_, at) => at >= from && at < from + 1.5); break;
                case 2: car.Every(10 + dice.Next(50), (uint)dice.Next(0x500, 0x510), (ushort)dice.Next(2), n => $"{n & 255:X2}00"); break;
                case 3: car.Change(0x0C8, (frame, number, _) => number % 37 == 0 ? Some.Frame(0x0C8, "0102", frame.Time.Nanoseconds / 1e6) : frame); break;
                default: car.Change(0x100, (frame, _, at) => at > from ? Some.Frame(0x100, "01", frame.Time.Nanoseconds / 1e6, 1) : frame); break;
            }
        }

        return car.Frames.OrderBy(frame => frame.Time.Nanoseconds + dice.Next(3_000_000));
    }

    private static HealthMonitor Monitor(bool keepsAll) =>
        new(Fresh.Plan, new MonitorOptions { MarkChanges = keepsAll, KeepHistory = keepsAll, KeepNumbers = keepsAll });

    private static void Accept(HealthMonitor monitor, Frame[] frames)
    {
        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, Car.Buses);
        }
    }

    // Every object that can be reached, with the way to it; boxed values have no identity of their own.
    private static Dictionary<object, string> Changeable(HealthMonitor monitor)
    {
        var found = new Dictionary<object, string>(ReferenceEqualityComparer.Instance);
        Walk(monitor, nameof(HealthMonitor), found);
        return found;
    }

    private static void Walk(object? value, string way, Dictionary<object, string> found)
    {
        if (value is null || value is Delegate || Frozen.Contains(value.GetType()) || value.GetType() is { IsPrimitive: true } or { IsEnum: true } || IsOfDefinitions(value.GetType()))
        {
            return;
        }

        // Empty arrays are the same everywhere.
        if (!value.GetType().IsValueType && (value is Array { Length: 0 } || !found.TryAdd(value, way)))
        {
            return;
        }

        if (value is Array array)
        {
            if (!array.GetType().GetElementType()!.IsPrimitive)
            {
                foreach (var each in array)
                {
                    Walk(each, way + "[]", found);
                }
            }

            return;
        }

        for (var type = value.GetType(); type is not null && type != typeof(object) && type != typeof(ValueType); type = type.BaseType)
        {
            foreach (var field in type.GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly).Where(field => field.FieldType != type))
            {
                Walk(field.GetValue(value), $"{way}.{field.Name}", found);
            }
        }
    }

    private static bool IsOfDefinitions(Type type) =>
        type.Namespace is { } name && (name.StartsWith("BusScope.Signals.Definitions", StringComparison.Ordinal) || name.StartsWith("BusScope.Signals.Expressions", StringComparison.Ordinal)) || type.Name == "Needs";
}
