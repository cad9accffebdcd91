using BusScope.Frames;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcapng;

/// <summary>One interface of a section.</summary>
internal sealed class Interface(Link link, uint snapLength, bool isNamed, TimeScale scale)
{
    /// <summary>What its packets are.</summary>
    public Link Link => link;

    /// <summary>The most bytes recorded of a packet; 0 for no limit.</summary>
    public uint SnapLength => snapLength;

    /// <summary>Whether the file gave it a name.</summary>
    public bool IsNamed => isNamed;

    /// <summary>How its times are to be read.</summary>
    public TimeScale Scale => scale;

    /// <summary>Whether its packets can be read; false for what is no bus or has no room.</summary>
    public bool IsRead => Link.CanHoldFrames && (Link.Bus >= 0 || Link.Type != LinkType.Can);

    /// <summary>Lost frames that were reported so far.</summary>
    public ulong Dropped { get; set; }

    /// <summary>The same interface among the buses of another reader.</summary>
    public Interface For(BusTable buses) => new(link.For(buses), snapLength, isNamed, scale) { Dropped = Dropped };
}

/// <summary>What the fast way needs of an interface, beside each other in memory.</summary>
/// <param name="End">Ticks from here on need the exact way; 0 sends every packet there.</param>
/// <param name="Factor">Nanoseconds in a tick.</param>
/// <param name="Offset">Nanoseconds to add.</param>
/// <param name="Bus">The index of the bus.</param>
internal readonly record struct FastInterface(ulong End, long Factor, long Offset, ushort Bus)
{
    /// <summary>The time that a number of ticks below <see cref="End"/> stands for.</summary>
    public FrameTime At(ulong ticks) => new(((long)ticks * Factor) + Offset);
}
