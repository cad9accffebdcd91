using BusScope.Frames;
using BusScope.Session;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Session;

public class BusRatesTests
{
    private const string Definitions = """
        busscope: 1
        buses:
          defined: { bitrate: 125 kbit/s, data-bitrate: 1 Mbit/s }
          typed:   { bitrate: 125 kbit/s, data-bitrate: 1 Mbit/s }
          fast:    { bitrate: 125 kbit/s, data-bitrate: 1 Mbit/s }
          own:     { bitrate: 125 kbit/s, data-bitrate: 1 Mbit/s }
        messages: {}
        """;

    private static readonly Dictionary<string, (long Rate, long? Data)> typed = new()
    {
        ["typed"] = (250_000, null),
        ["fast"] = (250_000, 5_000_000),
        ["own"] = (250_000, 5_000_000),
    };

    [Theory]
    [InlineData("own", 500_000L, 2_000_000L)]
    [InlineData("typed", 250_000L, 1_000_000L)]
    [InlineData("fast", 250_000L, 5_000_000L)]
    [InlineData("defined", 125_000L, 1_000_000L)]
    [InlineData("nobody's", null, null)]
    public void What_the_source_states_counts_most_then_what_was_typed_then_the_definitions(string name, long? rate, long? data)
    {
        var stated = new Bus(name) { BitRate = name == "own" ? 500_000 : null, DataBitRate = name == "own" ? 2_000_000 : null };

        using var source = new RatedSource(new ListSource([stated], []), Rates(typed));

        Assert.Equal((rate, data), (source.Buses[0].BitRate, source.Buses[0].DataBitRate));
    }

    [Fact]
    public void A_rate_without_a_name_is_that_of_every_bus_that_has_none_of_its_own()
    {
        var rates = Rates(new() { [""] = (83_333, null), ["typed"] = (250_000, null) });

        Assert.Equal(((83_333L, null), (83_333L, 1_000_000L), (250_000L, 1_000_000L)), (rates.Of("nobody's"), rates.Of("defined"), rates.Of("typed")));
    }

    [Fact]
    public void A_rate_that_a_later_section_states_arrives_through_every_source_around()
    {
        List<Bus> stated = [new("typed")];
        using var other = new ListSource([new("own")], []);
        using var source = new RatedSource(new MergedSource([new NamedSource(new ListSource(stated, []), "engine"), other]), Rates([]));
        Assert.Equal([null, 125_000L], source.Buses.Select(bus => bus.BitRate));

        stated[0] = stated[0] with { BitRate = 83_333 };
        source.Read(new FrameBatch(), TestContext.Current.CancellationToken);

        Assert.Equal([("engine", 83_333L), ("own", 125_000L)], source.Buses.Select(bus => (bus.Name, bus.BitRate!.Value)));
    }

    private static BusRates Rates(Dictionary<string, (long Rate, long? Data)> typed) =>
        new(typed, DefinitionLoader.LoadText(Definitions, "buses.yaml").Definitions!);
}
