using BusScope.Frames;

namespace BusScope.TestKit;

/// <summary>Ready-made values for tests.</summary>
public static class Some
{
    /// <summary>A frame from a payload in hex: <c>Some.Frame(0x0C8, "0F A0 7B", milliseconds: 10)</c>.</summary>
    public static Frame Frame(uint id, string hex = "", double milliseconds = 0, ushort bus = 0, bool extended = false, FrameKinds kinds = FrameKinds.None)
    {
        var frame = default(Frame);
        frame.Set(new FrameTime(FrameSpan.FromMilliseconds(milliseconds).Nanoseconds), bus, new CanId(id, extended), kinds, Bytes(hex));
        return frame;
    }

    /// <summary>Bytes from hex, blanks ignored.</summary>
    public static byte[] Bytes(string hex) => Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal));

    /// <summary>Batches of at most 256 from any number of frames.</summary>
    public static IEnumerable<FrameBatch> Batches(IEnumerable<Frame> frames)
    {
        var batch = new FrameBatch();
        foreach (var frame in frames)
        {
            if (batch.IsFull)
            {
                yield return batch;
                batch.Clear();
            }

            batch.Add() = frame;
        }

        yield return batch;
    }
}
