using BusScope.Frames;
using static BusScope.Transport.Kernel.KernelCalls;

namespace BusScope.Transport.Kernel;

/// <summary>The kernel this program runs on.</summary>
internal sealed class LinuxKernel : IKernel
{
    private readonly RouteSocket route;

    /// <summary>Opens the line to it.</summary>
    /// <exception cref="SourceException">It has no such line.</exception>
    public LinuxKernel()
    {
        // The layouts of what is exchanged with it are those of 64-bit machines.
        var isKnown = OperatingSystem.IsLinux() && Environment.Is64BitProcess && BitConverter.IsLittleEndian;
        route = (isKnown ? RouteSocket.Open() : null) ?? throw new SourceException("CAN interfaces of the kernel can be opened on 64-bit Linux only");
    }

    /// <inheritdoc/>
    public int Descriptor => route.Descriptor;

    /// <inheritdoc/>
    public IReadOnlyList<KernelInterface> Interfaces()
    {
        var found = new List<KernelInterface>();
        route.Answer(LinkRequest.AskAll(), found);
        return KernelInterface.Latest(found);
    }

    /// <inheritdoc/>
    public void Ask(int index) => route.Ask(LinkRequest.Ask(index));

    /// <inheritdoc/>
    public void Changes(ICollection<KernelInterface> found)
    {
        while (route.Read(found) is not null)
        {
        }
    }

    /// <inheritdoc/>
    public ICanSocket? Open(int index, out int error) => CanSocket.Open(index, out error);

    /// <inheritdoc/>
    public void Wait(Span<PollEntry> entries, int milliseconds) => Poll(entries, (nuint)entries.Length, milliseconds);

    /// <summary>Sets an interface up as asked, and switches it on.</summary>
    /// <returns>0, or the <see cref="Errno"/> of the refusal.</returns>
    public int SetUp(KernelInterface link, long bitRate, long? dataBitRate)
    {
        var found = new List<KernelInterface>();
        byte[][] steps = [LinkRequest.Switch(link.Index, isUp: false), LinkRequest.SetUp(link.Index, bitRate, dataBitRate), LinkRequest.Switch(link.Index, isUp: true)];
        foreach (var step in steps)
        {
            if (route.Answer(step, found) is var error and not 0)
            {
                // It goes on as it was.
                _ = link.IsUp ? route.Answer(LinkRequest.Switch(link.Index, isUp: true), found) : 0;
                return error;
            }
        }

        return 0;
    }

    /// <inheritdoc/>
    public void Dispose() => route.Dispose();
}
