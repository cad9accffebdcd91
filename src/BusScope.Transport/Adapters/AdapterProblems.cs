using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Adapters;

/// <summary>What can go wrong with an adapter while it is listened to. Each code is explained in docs/adapters.md.</summary>
public static class AdapterProblems
{
    /// <summary>The kernel had to drop frames.</summary>
    public static ProblemKind Lost { get; } = new("adapter-frames-lost", "frames were lost because this machine did not take them in time");

    /// <summary>The controller or its driver had to drop frames.</summary>
    public static ProblemKind Overrun { get; } = new("adapter-overrun", "the adapter lost frames before this machine could take them");

    /// <summary>The interface was switched off and on.</summary>
    public static ProblemKind Down { get; } = new("adapter-down", "the adapter was switched off; what came meanwhile was not seen");

    /// <summary>The interface disappeared.</summary>
    public static ProblemKind Gone { get; } = new("adapter-gone", "the adapter was unplugged; what came meanwhile was not seen");

    /// <summary>The kernel gave a record that holds no frame.</summary>
    public static ProblemKind BadRecord { get; } = new("adapter-record-unknown", "a record that holds no CAN frame was passed over");
}
