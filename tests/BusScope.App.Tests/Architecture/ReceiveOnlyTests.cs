using System.Text.RegularExpressions;
using Xunit;

namespace BusScope.App.Tests.Architecture;

/// <summary>
/// BusScope receives and never sends. What could put a frame on a bus (sending on a socket, writing to a device, a native
/// call that does either) stands nowhere in src. The terminal that the program was started from, /dev/tty, is no bus; and a path
/// that is only compared with the folder of devices, to refuse it, opens none. One call sends, and what it sends ends in the kernel:
/// the question about interfaces, which takes a socket of that kind and no other.
/// </summary>
public partial class ReceiveOnlyTests
{
    private const string Device =
        @"System\.Net\.Sockets|EntryPoint\s*=\s*""(" + Calls + @")""|\b(extern|partial)\s+\w+\s+(" + Calls + @")\(|CAN_Write|\bSerialPort\b|(?<!\bStartsWith\()""/dev/(?!tty"")";

    // The calls of the system that send or write, or can be made to (Linux, section 2 of the manual).
    private const string Calls = "send|sendto|sendmsg|sendmmsg|sendfile|write|writev|pwrite|pwritev|splice|vmsplice|ioctl|syscall|io_uring_enter";

    private const string Questions = "src/BusScope.Transport/Kernel/RouteSocket.cs";

    [Fact]
    public void Nothing_in_the_program_may_send()
    {
        var found =
            from path in SourceFiles.Under("src")
            from line in File.ReadLines(path).Select((text, index) => (Text: text, Number: index + 1))
            where (InMemory(path) ? NeedsADevice() : MaySend()).IsMatch(line.Text) && SourceFiles.Short(path) != Questions
            select $"{SourceFiles.Short(path)}:{line.Number}: {line.Text.Trim()}";

        Assert.Empty(found);
    }

    [Fact]
    public void The_one_call_that_sends_takes_a_socket_that_ends_in_the_kernel()
    {
        var lines = File.ReadAllLines(SourceFiles.Under("src").Single(path => SourceFiles.Short(path) == Questions));

        var found = lines.Index().Where(line => MaySend().IsMatch(line.Item)).Select(line => line.Index).ToList();

        // The declaration, whose first parameter is the type that only this file opens, and only as AF_NETLINK, NETLINK_ROUTE.
        var declared = Assert.Single(found);
        Assert.Contains("EntryPoint = \"send\"", lines[declared], StringComparison.Ordinal);
        Assert.Contains("Send(RouteSocket socket,", lines[declared + 1], StringComparison.Ordinal);
        Assert.Contains(lines, line => line.Contains("var socket = Open(NetlinkFamily, RawType, RouteProtocol);", StringComparison.Ordinal));
        Assert.Contains("    private const int NetlinkFamily = 16;", lines);
        Assert.Contains("    private const int RouteProtocol = 0;", lines);
        Assert.Single(lines, line => line.Contains(" Open(int family,", StringComparison.Ordinal));
        Assert.Single(lines, line => line.Contains(" Open(NetlinkFamily,", StringComparison.Ordinal));
    }

    [Fact]
    public void A_descriptor_is_written_to_only_where_it_is_that_of_the_terminal_or_a_pipe()
    {
        var found = SourceFiles.Under("src").Where(path => File.ReadAllText(path).Contains("new SafeFileHandle(", StringComparison.Ordinal)).Select(SourceFiles.Short);

        Assert.Equal(["src/BusScope.Cli/StandardInput.cs", "src/BusScope.Cli/StandardOutput.cs"], found.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void No_code_of_our_own_works_around_the_types()
    {
        var found =
            from path in SourceFiles.Under("src")
            from line in File.ReadLines(path)
            where Unsafe().IsMatch(line)
            select $"{SourceFiles.Short(path)}: {line.Trim()}";

        Assert.Empty(found);
    }

    [Theory]
    [InlineData("private static partial nint sendto(CanSocket socket, ReadOnlySpan<byte> bytes);")]
    [InlineData("[LibraryImport(\"libc\", EntryPoint = \"syscall\")]")]
    [InlineData("[LibraryImport(name, EntryPoint = \"CAN_Write\")]")]
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

    [GeneratedRegex(@"\bunsafe\s+(class|struct|static|partial|void|\{)|\bunsafe\s*$|\bfixed\s*\(\s*\w+\s*\*")]
    private static partial Regex Unsafe();

    [GeneratedRegex(Device)]
    private static partial Regex NeedsADevice();

    [GeneratedRegex(@"\.Send(To|Packets|File|Msg)?(Async)?\(|" + Device)]
    private static partial Regex MaySend();
}
