using BusScope.Frames;

namespace BusScope.Transport.Recording;

/// <summary>What a recording waits for. Used by the recording's thread alone.</summary>
public interface IRecordingTrigger
{
    /// <summary>Looks at the frames in their order until one of them is what is waited for.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses that they are of.</param>
    /// <returns>The index of that frame, or -1.</returns>
    int Find(FrameBatch batch, IReadOnlyList<Bus> buses);
}
