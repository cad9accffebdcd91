using System.Text;
using System.Text.Json;
using BusScope.Frames;
using BusScope.Reports.Adapters;
using BusScope.Reports.Layout;
using BusScope.TestKit;
using BusScope.Transport.Adapters;
using BusScope.Transport.Kernel;
using Xunit;

namespace BusScope.App.Tests.Reports;

public sealed class AdapterReportTests
{
    private static readonly KernelInterface Controller = new(3, "can0") { IsCan = true, Kind = "can", State = ControllerState.ErrorActive, CanListenOnly = true };

    private static readonly AdapterList All = new(
    [
        KernelAdapters.Advise(Controller with { IsUp = true, BitRate = 500_000, IsListenOnly = true }, "some_driver", null),
        KernelAdapters.Advise(Controller with { Name = "can1", IsUp = true, BitRate = 1_000_000, DataBitRate = 5_000_000, IsListenOnly = false }, "some_driver", null),
        KernelAdapters.Advise(Controller with { Name = "can2", IsListenOnly = false }, null, null),
        KernelAdapters.Advise(Controller with { Name = "can3", IsUp = true, BitRate = 83_333, IsListenOnly = true, State = ControllerState.BusOff }, null, null),
        KernelAdapters.Advise(new KernelInterface(9, "vcan0") { IsCan = true, Kind = "vcan" }, null, null),
        new Adapter("pcan:usb1", "some adapter\e[31m, by PCAN-Basic") { State = "taken", Notes = ["another program has it"] },
    ]);

    [Fact]
    public void Each_adapter_is_a_line_and_what_is_wrong_stands_below_with_what_to_type() => Snapshot.Match(Text(All));

    [Fact]
    public void Where_nothing_is_there_it_says_what_to_look_at() =>
        Snapshot.Match(Text(new AdapterList([]) { Notes = ["this kernel has no CAN support loaded"], Commands = ["modprobe can-raw"] }));

    [Fact]
    public void The_json_has_the_fields_of_its_contract()
    {
        var output = new MemoryStream();
        AdaptersJson.Write(output, All);

        using var json = JsonDocument.Parse(output.ToArray());

        var second = json.RootElement.GetProperty("adapters")[1];
        Assert.Equal(
            ["source", "kind", "state", "ready", "bit_rate", "data_bit_rate", "listen_only", "notes", "commands"],
            second.EnumerateObject().Select(property => property.Name));
        Assert.Equal((1_000_000, 5_000_000, false), (second.GetProperty("bit_rate").GetInt64(), second.GetProperty("data_bit_rate").GetInt64(), second.GetProperty("listen_only").GetBoolean()));
        Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty("adapters")[4].GetProperty("listen_only").ValueKind);
        Assert.Equal(["adapters", "notes", "commands"], json.RootElement.EnumerateObject().Select(property => property.Name));
    }

    private static string Text(AdapterList list)
    {
        var text = new StringWriter(new StringBuilder()) { NewLine = "\n" };
        AdaptersText.Write(text, list, Ink.Plain);
        return text.ToString();
    }
}
