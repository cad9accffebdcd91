using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Expressions;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public class DefinitionPlanTests
{
    [Fact]
    public void Every_identifier_is_found_and_no_other() =>
        Gen.Select(Gen.UInt[0, CanId.LargestExtended], Gen.Bool, (value, extended) => new CanId(extended ? value : value & CanId.LargestBase, extended)).Array[0, 300].Sample(ids =>
        {
            var distinct = ids.Distinct().ToList();
            var plan = Plan([.. distinct.Select((id, i) => Message($"M{i}", new MessageKey.Identifier(id)))]);

            Assert.All(distinct, (id, i) => Assert.Equal(i, plan.Find("any", onlyBus: true, id)));
            Assert.All(distinct, id =>
            {
                var other = new CanId(id.Value ^ 1, id.IsExtended);
                Assert.Equal(distinct.IndexOf(other), plan.Find("any", onlyBus: true, other));
            });
        });

    [Fact]
    public void A_message_is_found_on_its_bus_and_an_only_bus_may_have_another_name()
    {
        var id = new CanId(0x100, false);
        var plan = Plan(
            Message("Chassis", new MessageKey.Identifier(id)) with { Bus = "chassis" },
            Message("Cabin", new MessageKey.Identifier(id)) with { Bus = "cabin" },
            Message("Any", new MessageKey.Identifier(new CanId(0x200, false))));

        Assert.Equal(1, plan.Find("cabin", onlyBus: false, id));
        Assert.Equal(1, plan.Find("cabin", onlyBus: true, id));
        Assert.Equal(0, plan.Find("can0", onlyBus: true, id));
        Assert.Equal(-1, plan.Find("can0", onlyBus: false, id));
        Assert.Equal(2, plan.Find("cabin", onlyBus: true, new CanId(0x200, false)));
        Assert.Equal(2, plan.Find("cabin", onlyBus: false, new CanId(0x200, false)));
        Assert.Equal(2, plan.Find("can0", onlyBus: false, new CanId(0x200, false)));
    }

    [Fact]
    public void A_parameter_group_is_found_whatever_priority_and_destination_and_its_own_source_goes_first()
    {
        var plan = Plan(
            Message("Request", new MessageKey.ParameterGroup(0xEA00, null)),
            Message("AnySpeed", new MessageKey.ParameterGroup(0xFEF1, null)),
            Message("EngineSpeed", new MessageKey.ParameterGroup(0xFEF1, 0x00)),
            Message("Exact", new MessageKey.Identifier(new CanId(0x18FEF155, true))),
            Message("Page", new MessageKey.ParameterGroup(0x1FEF1, null)));
        int Find(uint id) => plan.Find("truck", true, new CanId(id, true));

        Assert.Equal([0, 0, 2, 1, 3, 4, -1], [Find(0x18EAFF2B), Find(0x1CEA0001), Find(0x18FEF100), Find(0x0CFEF127), Find(0x18FEF155), Find(0x19FEF155), Find(0x18FEF200)]);
        Assert.Equal(-1, plan.Find("truck", true, new CanId(0x100, false)));
    }

    [Fact]
    public void A_signal_is_found_by_its_path_or_by_a_name_that_is_unique()
    {
        var plan = Plan(
            Define.Message("Front", 1, Define.Signal(Define.Byte(0), "Speed"), Define.Signal(Define.Byte(1), "Gear")),
            Define.Message("Rear", 2, Define.Signal(Define.Byte(0), "Speed")));

        Assert.Equal((1, 0), plan.FindSignal("Rear/Speed"));
        Assert.Equal((0, 1), plan.FindSignal("Gear"));
        Assert.Null(plan.FindSignal("Speed"));
        Assert.Null(plan.FindSignal("Rear/Gear"));
    }

    [Fact]
    public void A_named_value_is_that_of_the_signal_beside_it()
    {
        var plan = Plan(Define.Message("Key", 1, Named("KeyPosition", 2)), Define.Message("Relay", 2, Named("CrankRelay", 1)));
        var values = Values(plan, "KeyPosition == on and CrankRelay == on");

        Assert.Null(values.Holds(0));
        values.Take(0, [2]);
        Assert.Null(values.Holds(0));
        Assert.True(values.Take(1, [1]));
        Assert.True(values.Holds(0));
        Assert.True(values.Take(1, [2]));
        Assert.False(values.Holds(0));

        static SignalDefinition Named(string name, long on) => Define.Signal(Define.Byte(0), name) with { Values = [new NamedValue(on, "on")] };
    }

    [Fact]
    public void Only_what_changed_is_told_and_computed_signals_come_before_their_readers()
    {
        var plan = new DefinitionPlan(new DefinitionSet
        {
            Messages = [Define.Message("Wheels", 1, Define.Signal(Define.Byte(0), "Front"), Define.Signal(Define.Byte(1), "Rear") with { NotAvailable = [new RawRange(255, 255)] })],
            Computed = [new ComputedDefinition("Percent", Parse("Slip * 100"), null, default), new ComputedDefinition("Slip", Parse("(Rear - Front) / Front"), null, default)],
        });
        var values = Values(plan, "Percent > 10", "Front", "Percent");

        Assert.True(values.Take(0, [100, 120]));
        Assert.Equal([0, 1, 2], values.Changed.ToArray().Order());
        Assert.Equal([1, 100, 20], [values[0], values[1], values[2]]);
        Assert.True(values.Take(0, [100, 130]));
        Assert.Equal([2], values.Changed.ToArray());
        Assert.False(values.Take(0, [100, 130]));
        Assert.True(values.Take(0, [100, 255]));
        Assert.Null(values.Holds(0));
        Assert.True(values.Forget(0));
        Assert.Equal(double.NaN, values[1]);
    }

    [Fact]
    public void Taking_a_frame_allocates_nothing()
    {
        var plan = Plan(Define.Message("Wheels", 1, Define.Signal(Define.Byte(0), "Front"), Define.Signal(Define.Byte(1), "Rear")));
        var values = Values(plan, "(Rear - Front) / Front > 0.1", "Front > 3");
        byte[] payload = [1, 2];

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 1_000; i++)
            {
                payload[0]++;
                values.Take(0, payload);
            }
        }));
    }

    private static DefinitionPlan Plan(params IReadOnlyList<MessageDefinition> messages) => new(new DefinitionSet { Messages = messages });

    private static MessageDefinition Message(string name, MessageKey key) => new() { Name = name, Key = key };

    private static Expression Parse(string text) => Expression.Parse(text, out var fault) ?? throw new ArgumentException(fault!.Message);

    private static ConditionValues Values(DefinitionPlan plan, params IEnumerable<string> texts) => new(new ConditionPlan(plan, [.. texts.Select(Parse)]));
}
