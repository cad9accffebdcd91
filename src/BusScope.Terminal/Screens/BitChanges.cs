using BusScope.Frames;

namespace BusScope.Terminal.Screens;

/// <summary>Which bits of the message that is shown changed from picture to picture, and when. On the screen's thread.</summary>
internal sealed class BitChanges
{
    private readonly byte[] before = new byte[Payload.Capacity];
    private readonly FrameTime[] changedAt = new FrameTime[Payload.Capacity * 8];
    private MessageKey? message;
    private FrameTime latest = FrameTime.Never;
    private int length;

    /// <summary>Takes the latest payload; of another message, or after a step back in time, nothing has changed yet.</summary>
    public void Take(MessageKey key, ReadOnlySpan<byte> payload, FrameTime now)
    {
        if (message != key || (latest.IsKnown && now < latest))
        {
            message = key;
            length = 0;
            Array.Fill(changedAt, FrameTime.Never);
        }

        for (var i = 0; i < Math.Min(length, payload.Length); i++)
        {
            for (var differ = before[i] ^ payload[i]; differ != 0; differ &= differ - 1)
            {
                changedAt[(i * 8) + System.Numerics.BitOperations.TrailingZeroCount(differ)] = now;
            }
        }

        payload.CopyTo(before);
        (length, latest) = (payload.Length, now);
    }

    /// <summary>How long ago a bit changed, or null.</summary>
    public FrameSpan? Since(int inByte, int bit) => changedAt[(inByte * 8) + bit] is { IsKnown: true } at ? latest - at : null;
}
