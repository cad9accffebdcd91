using System.Text.RegularExpressions;
using Xunit;

namespace BusScope.App.Tests.Architecture;

/// <summary>
/// BusScope receives and never sends. What could put a frame on a bus (sending on a socket, writing to a device, a native
/// call that does either) stands nowhere in src. The terminal that the program was started from, /dev/tty, is no bus; and a path
/// that is only compared with the folder of devices, to refuse it, opens none.
/// </summary>
public partial class ReceiveOnlyTests
{
    private const string Device =
        @"System\.Net\.Sockets|EntryPoint\s*=\s*""(send|sendto|sendmsg|sendmmsg|write|writev|ioctl)""|\bSerialPort\b|(?<!\bStartsWith\()""/dev/(?!tty"")";

    [Fact]
    public void Nothing_in_the_program_may_send()
    {
        var found =
            from path in SourceFiles.Under("src")
            from line in File.ReadLines(path).Select((text, index) => (Text: text, Number: index + 1))
            where (InMemory(path) ? NeedsADevice() : MaySend()).IsMatch(line.Text)
            select $"{SourceFiles.Short(path)}:{line.Number}: {line.Text.Trim()}";

        Assert.Empty(found);
    }

    [Theory]
    [InlineData("socket.Send(buffer);")]
    [InlineData("await socket.SendToAsync(buffer, endpoint);")]
    [InlineData("using System.Net.Sockets;")]
    [InlineData("[LibraryImport(\"libc\", EntryPoint = \"sendto\")]")]
    [InlineData("new SerialPort(name)")]
    [InlineData("[DllImport(\"libc\", EntryPoint = \"write\")]")]
    [InlineData("File.OpenWrite(\"/dev/ttyUSB0\")")]
    [InlineData("if (path.StartsWith(\"/dev/\")) File.OpenWrite(\"/dev/ttyS0\");")]
    [InlineData("new FileStream(\"/dev/can0\", FileMode.Open)")]
    public void The_search_would_find_it(string line) => Assert.Matches(MaySend(), line);

    [Fact]
    public void A_path_that_is_compared_is_not_opened() => Assert.DoesNotMatch(MaySend(), "full.StartsWith(\"/dev/\", StringComparison.Ordinal)");

    // The wires of the simulator are objects in memory: there a sender may send, but nothing may reach a device.
    private static bool InMemory(string path) => SourceFiles.Short(path).StartsWith("src/BusScope.Demo/", StringComparison.Ordinal);

    [GeneratedRegex(Device)]
    private static partial Regex NeedsADevice();

    [GeneratedRegex(@"\.Send(To|Packets|File|Msg)?(Async)?\(|" + Device)]
    private static partial Regex MaySend();
}
