using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>The payloads of one identifier on one bus: the latest one, which bits ever changed, and, for live views, when each byte did.</summary>
/// <param name="marksChanges">Whether to note when each payload byte changed last.</param>
internal sealed class PayloadTrack(bool marksChanges)
{
    private byte[] reference = [];
    private byte[] payload = [];
    private byte[] changed = [];
    private long[] changedAt = [];

    /// <summary>Bytes of room: 0 before the first frame, then 8, or 64 for payloads of more than eight bytes.</summary>
    public int Stride => payload.Length;

    /// <summary>The same payloads, which go on by themselves.</summary>
    public PayloadTrack Copy()
    {
        var copy = (PayloadTrack)MemberwiseClone();
        copy.reference = [.. reference];
        copy.payload = [.. payload];
        copy.changed = [.. changed];
        copy.changedAt = [.. changedAt];
        return copy;
    }

    /// <summary>The latest payload.</summary>
    /// <param name="length">How many bytes it has.</param>
    public ReadOnlySpan<byte> Latest(byte length) => payload.AsSpan(0, Math.Min(length, payload.Length));

    /// <summary>For each payload byte the bits that ever differed from the first payload, which are those that ever changed.</summary>
    /// <param name="length">How many bytes the latest payload has.</param>
    public ReadOnlySpan<byte> Changed(byte length) => changed.AsSpan(0, Math.Min(length, changed.Length));

    /// <summary>For each payload byte when it changed last; empty where nobody asked.</summary>
    /// <param name="length">How many bytes the latest payload has.</param>
    public ReadOnlySpan<FrameTime> ChangedAt(byte length) => MemoryMarshal.Cast<long, FrameTime>(changedAt.AsSpan(0, Math.Min(length, changedAt.Length)));

    /// <summary>Makes room for a frame that is longer than those before it.</summary>
    /// <param name="frame">The frame.</param>
    /// <param name="longest">The longest payload that its message is known to have, in bytes; 0 where that is not known.</param>
    public void MakeRoom(in Frame frame, int longest)
    {
        var stride = Math.Max((int)frame.Length, longest) > Payload.ClassicCapacity ? Payload.Capacity : Payload.ClassicCapacity;
        if (payload.Length >= stride)
        {
            return;
        }

        var had = payload.Length;
        Array.Resize(ref payload, stride);
        Array.Resize(ref reference, stride);
        Array.Resize(ref changed, stride);
        if (had == 0)
        {
            frame.Data.CopyTo(reference);
            frame.Data.CopyTo(payload);
        }

        if (marksChanges)
        {
            Array.Resize(ref changedAt, stride);
            changedAt.AsSpan(had).Fill(FrameTime.Never.Nanoseconds);
        }
    }

    /// <summary>Takes in payloads.</summary>
    /// <param name="rows">One behind the other, zero past their lengths; room for them must have been made.</param>
    /// <param name="times">When each came, nanoseconds.</param>
    /// <param name="stride">Bytes of each row, 8 or 64.</param>
    public void Note(ReadOnlySpan<byte> rows, ReadOnlySpan<long> times, int stride)
    {
        if (marksChanges)
        {
            Mark(rows, times, stride);
        }

        if (stride == sizeof(ulong))
        {
            var first = MemoryMarshal.Read<ulong>(reference);
            var words = MemoryMarshal.Cast<byte, ulong>(rows);
            var (firsts, either) = (Vector128.Create(first), Vector128<ulong>.Zero);
            foreach (ref readonly var pair in MemoryMarshal.Cast<byte, Vector128<ulong>>(rows))
            {
                either |= pair ^ firsts;
            }

            var differing = either[0] | either[1] | (words[^1] ^ first);
            MemoryMarshal.Write(changed, MemoryMarshal.Read<ulong>(changed) | differing);
        }
        else
        {
            var (first, any) = (MemoryMarshal.Read<Row>(reference), MemoryMarshal.Read<Row>(changed));
            foreach (ref readonly var row in MemoryMarshal.Cast<byte, Row>(rows))
            {
                any.Zeroth |= row.Zeroth ^ first.Zeroth;
                any.First |= row.First ^ first.First;
                any.Second |= row.Second ^ first.Second;
                any.Third |= row.Third ^ first.Third;
            }

            MemoryMarshal.Write(changed, any);
        }

        rows[^stride..].CopyTo(payload);
        payload.AsSpan(stride).Clear();
    }

    // A payload of more than eight bytes.
    private struct Row
    {
        public Vector128<byte> Zeroth;
        public Vector128<byte> First;
        public Vector128<byte> Second;
        public Vector128<byte> Third;
    }

    private void Mark(ReadOnlySpan<byte> rows, ReadOnlySpan<long> times, int stride)
    {
        ReadOnlySpan<byte> before = payload.AsSpan(0, stride);
        for (var row = 0; row < times.Length; row++)
        {
            var now = rows.Slice(row * stride, stride);
            if (!now.SequenceEqual(before))
            {
                for (var i = 0; i < stride; i++)
                {
                    if (now[i] != before[i])
                    {
                        changedAt[i] = times[row];
                    }
                }
            }

            before = now;
        }
    }
}
