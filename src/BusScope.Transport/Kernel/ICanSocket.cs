namespace BusScope.Transport.Kernel;

/// <summary>One interface's socket, as its source uses it.</summary>
internal interface ICanSocket : IDisposable
{
    /// <summary>The descriptor to wait on.</summary>
    int Descriptor { get; }

    /// <summary>How many messages the kernel could not keep because nobody read them in time.</summary>
    long Lost { get; }

    /// <summary>Takes what has come, without waiting.</summary>
    /// <param name="room">Where it is put.</param>
    /// <param name="count">The most messages wanted.</param>
    /// <returns>How many came; a negative <see cref="Errno"/> where the interface has something to say.</returns>
    int Receive(MessageRoom room, int count);
}
