using Xunit;

namespace BusScope.Demo.Tests;

public sealed class DefinitionTests
{
    [Fact]
    public void The_built_in_definitions_load_without_a_fault()
    {
        var result = DemoDefinitions.Load();

        Assert.Empty(result.Diagnostics.Select(d => $"{d.Place} {d.Code}: {d.Message}"));
        Assert.NotNull(result.Definitions);
    }

    [Fact]
    public void Every_module_of_the_car_lives_on_something_and_proves_that_it_runs()
    {
        var definitions = DemoDefinitions.Load().Definitions!;

        Assert.Equal(
            ["airbag", "body", "brake-control", "climate", "cluster", "door-left", "door-right", "engine-controller", "keyless-entry", "race-controller", "steering", "transmission"],
            definitions.Modules.Select(m => m.Name).Order());
        Assert.All(definitions.Modules, m => Assert.NotNull(m.Alive));
        Assert.All(definitions.Modules, m => Assert.Contains(definitions.Messages, message => message.NeededBy.Contains(m.Name)));
    }
}
