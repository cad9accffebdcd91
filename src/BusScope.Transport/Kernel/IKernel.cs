using static BusScope.Transport.Kernel.KernelCalls;

namespace BusScope.Transport.Kernel;

/// <summary>What a source of CAN interfaces needs of the system, so that it can be tried without one.</summary>
internal interface IKernel : IDisposable
{
    /// <summary>The descriptor that tells changes of interfaces.</summary>
    int Descriptor { get; }

    /// <summary>All interfaces as they are now.</summary>
    IReadOnlyList<KernelInterface> Interfaces();

    /// <summary>Asks for the state of one; it comes among the changes.</summary>
    void Ask(int index);

    /// <summary>What was told since, asked for or not.</summary>
    void Changes(ICollection<KernelInterface> found);

    /// <summary>Opens an interface to receive from it.</summary>
    /// <returns>Null where that cannot be, with the <see cref="Errno"/>.</returns>
    ICanSocket? Open(int index, out int error);

    /// <summary>Waits until one of the descriptors has something to give, or the time is over.</summary>
    void Wait(Span<PollEntry> entries, int milliseconds);
}
