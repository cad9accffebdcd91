using System.Runtime.CompilerServices;
using BusScope.Frames;

namespace BusScope.Transport.Audit;

/// <summary>What one frame by itself can have wrong (ISO 11898-1: identifiers, data length codes, frame formats).</summary>
internal static class FrameChecks
{
    // One bit for each byte count that a data length code stands for in CAN FD; 64 does not fit and is told apart.
    private const ulong FlexibleLengths = 0x1FF | (1UL << 12) | (1UL << 16) | (1UL << 20) | (1UL << 24) | (1UL << 32) | (1UL << 48);
    private const FrameKinds FlexibleOnly = FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator;

    /// <summary>Whether the length exists in the frame's format.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool IsLength(in Frame frame) =>
        frame.Length <= Payload.ClassicCapacity
        || (frame.IsFlexibleDataRate && (frame.Length == Payload.Capacity || (frame.Length < Payload.Capacity && ((FlexibleLengths >> frame.Length) & 1) != 0)));

    /// <summary>Whether the flags can stand together: no remote frame in CAN FD, BRS and ESI nowhere else.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AreFlags(in Frame frame)
    {
        var kinds = frame.Kinds;
        return (kinds & FrameKinds.FlexibleDataRate) != 0 ? (kinds & FrameKinds.Remote) == 0 : (kinds & FlexibleOnly) == 0;
    }
}
