using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Writing;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class BaselineMergeTests
{
    // 0x100 says when 0x200 and 0x201 are sent; 0x300 is always there.
    private static readonly Baseline baseline = LearnedCar.Of(
        new SentMessage(0x100, LearnedCar.Every(20, 0, 12_000), time => [(byte)(IsOn(time) ? 0x20 : 0), 0]),
        new SentMessage(0x200, LearnedCar.Every(10, 3040, 9030)),
        new SentMessage(0x201, LearnedCar.Every(10, 3040, 9030)),
        new SentMessage(0x300, LearnedCar.Every(100, 0, 12_000)));

    [Fact]
    public void Every_line_of_the_file_stays_in_its_order()
    {
        const string Before = """
            # The car of a friend.
            busscope: 1      # format
            buses:
              chassis: { bitrate: 500 kbit/s }

            messages:
              # what the body says
              Body:
                id: 0x100    # eleven bits
                bus: chassis
                signals:
                  Ignition: { byte: 0, bits: 5 }   # seen to be so

              Last: { id: 0x300, bus: chassis, every: 200 ms }
            # nothing behind this
            """;

        var merge = Into(Before);

        var after = merge.Text.Split('\n');
        var at = -1;
        foreach (var line in Before.Split('\n').Where(line => line.Length > 0 && !line.Contains("Last:", StringComparison.Ordinal)))
        {
            at = Array.IndexOf(after, line, at + 1);
            Assert.True(at >= 0, line);
        }

        Assert.Contains("  Last: { length: 8, constant: 00 00 00 00 00 00 00 00, id: 0x300, bus: chassis, every: 200 ms }", after);
        Assert.Equal((2, 2, 5), (merge.NewMessages, merge.TouchedMessages, merge.NewKeys));
        Assert.Equal(("Last", "every", "200 ms", "100 ms"), (merge.Differences[0].Message, merge.Differences[0].Key, merge.Differences[0].InFile, merge.Differences[0].Measured));
    }

    [Fact]
    public void A_signal_that_a_person_named_is_what_the_condition_reads()
    {
        var merge = Into("busscope: 1\nmessages:\n  Body:\n    id: 0x100\n    signals:\n      Ignition: { byte: 0, bits: 5 }\n");

        Assert.Contains("expression: \"Body/Ignition == 1\"", merge.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bit_that_nobody_named_becomes_a_signal_of_the_message_that_is_there()
    {
        var merge = Into("busscope: 1\nmessages:\n    Body:\n        id: 0x100\n        length: 2\n");

        var body = Load(merge.Text).Messages.Single(message => message.Name == "Body");
        Assert.Equal("Byte0Bit5", Assert.Single(body.Signals).Name);
        Assert.Contains("Body/Byte0Bit5 == 1", merge.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_ends_stay_what_they_were()
    {
        var merge = Into("busscope: 1\r\nmessages:\r\n  Body:\r\n    id: 0x100\r\n    bus: chassis\r\nbuses:\r\n  chassis: {}");

        Assert.DoesNotContain("\n", merge.Text.Replace("\r\n", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Fact]
    public void A_second_merge_finds_nothing_to_add()
    {
        var once = Into("busscope: 1\nmessages:\n  Body: { id: 0x100, bus: chassis }\nbuses: { chassis: {} }\n");

        var twice = Into(once.Text);

        Assert.Equal(once.Text, twice.Text);
        Assert.Equal((0, 0, 0), (twice.NewMessages, twice.TouchedMessages, twice.NewKeys));
        Assert.Empty(twice.Differences);
    }

    [Fact]
    public void What_the_captures_never_showed_is_told()
    {
        var merge = Into("busscope: 1\nmessages:\n  Ghost: { id: 0x400, bus: chassis }\nbuses: { chassis: {} }\n");

        Assert.Contains(merge.Differences, difference => difference is { Message: "Ghost", Measured: "not in the captures" });
    }

    [Fact]
    public void A_new_file_loads_without_a_word()
    {
        using var text = new StringWriter();

        BaselineText.Write(baseline, text);

        var loaded = DefinitionLoader.LoadText(text.ToString(), "baseline.yaml");
        Assert.Empty(loaded.Diagnostics);
        Assert.Equal(["Condition1", "Condition1"], loaded.Definitions!.Messages.Select(message => message.While?.Text).OfType<string>());
        Assert.All(loaded.Definitions.Messages, message => Assert.Equal("chassis-listeners", Assert.Single(message.NeededBy)));
    }

    [Fact]
    public void A_constant_of_the_file_that_the_captures_do_not_keep_is_told_and_stays()
    {
        var merge = Into("busscope: 1\nbuses: { chassis: {} }\nmessages:\n  Body: { id: 0x100, bus: chassis, constant: 00 -- }\n  Whole: { id: 0x200, bus: chassis, constant: -- 0- }\n");

        Assert.Equal(("Body", "constant", "00", "-0 00"), Assert.Single(merge.Differences.Where(difference => difference.Key == "constant").Select(difference => (difference.Message, difference.Key, difference.InFile, difference.Measured))));
        Assert.Contains("constant: 00 --", merge.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_condition_that_the_file_computes_already_is_the_one_that_new_messages_get()
    {
        var merge = Into("busscope: 1\nbuses: { chassis: {} }\nmessages:\n  Body: { id: 0x100, bus: chassis, signals: { Byte0Bit5: { byte: 0, bits: 5 } } }\ncomputed:\n  IgnitionOn: { expression: \"Body/Byte0Bit5 == 1\" }\n");

        var after = Load(merge.Text);
        Assert.Equal(["IgnitionOn", "IgnitionOn"], after.Messages.Select(message => message.While?.Text).OfType<string>());
        Assert.Equal("IgnitionOn", Assert.Single(after.Computed).Name);
    }

    [Fact]
    public void A_condition_takes_the_next_name_where_a_signal_of_the_file_has_its_own()
    {
        var merge = Into("busscope: 1\nmessages:\n  Body: { id: 0x100, bus: chassis, signals: { Condition1: { byte: 0, bits: 5 } } }\nbuses: { chassis: {} }\n");

        Assert.Equal(("Condition2", "Body/Condition1 == 1"), Assert.Single(Load(merge.Text).Computed.Select(computed => (computed.Name, computed.Expression.Text))));
    }

    [Fact]
    public void A_bit_takes_the_next_name_where_another_signal_of_its_message_has_its_own()
    {
        var merge = Into("busscope: 1\nmessages:\n  Body: { id: 0x100, bus: chassis, signals: { Byte0Bit5: { byte: 1 } } }\nbuses: { chassis: {} }\n");

        Assert.Equal("Body/Byte0Bit5_2 == 1", Assert.Single(Load(merge.Text).Computed).Expression.Text);
        Assert.Equal(["Byte0Bit5", "Byte0Bit5_2"], Load(merge.Text).Messages.Single(message => message.Name == "Body").Signals.Select(signal => signal.Name).Order());
    }

    private static BaselineMergeResult Into(string before)
    {
        var merge = BaselineMerge.Into(new SourceText("own.yaml", before), baseline);
        Assert.NotNull(merge);
        Assert.Empty(DefinitionLoader.LoadText(merge.Text, "own.yaml").Diagnostics);
        return merge;
    }

    private static DefinitionSet Load(string text) => DefinitionLoader.LoadText(text, "own.yaml").Definitions!;

    private static bool IsOn(double time) => time is >= 3000 and < 9000;
}
