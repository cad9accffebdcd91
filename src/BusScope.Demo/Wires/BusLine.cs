using BusScope.Frames;
using BusScope.Frames.Wire;

namespace BusScope.Demo.Wires;

/// <summary>
/// One physical bus: frames wait while it is busy, and among those that wait the lowest identifier wins (ISO 11898-1,
/// arbitration). A frame's time is the end of its last bit, when a receiver takes it for valid.
/// </summary>
internal sealed class BusLine
{
    // ISO 11898-1: after an error-free frame the bus stays recessive for three bits.
    private const int InterframeBits = WireLength.InterframeSpace;

    private readonly List<Release> waiting = [];
    private readonly Queue<Frame> sent = new();
    private readonly ushort index;
    private readonly long bitTime;
    private readonly LoneSender? lone;
    private long freeAt = long.MinValue;

    /// <summary>A bus that nobody has used yet.</summary>
    /// <param name="index">Of the bus in its source.</param>
    /// <param name="bitRate">Bits per second; a whole number of nanoseconds per bit.</param>
    /// <param name="isAcknowledged">Whether any other node is there to acknowledge.</param>
    public BusLine(ushort index, long bitRate, bool isAcknowledged = true)
    {
        this.index = index;
        bitTime = FrameSpan.NanosecondsPerSecond / bitRate;
        lone = isAcknowledged ? null : new LoneSender(bitTime);
    }

    /// <summary>Frames that a sender replaced in its mailbox before they came to be sent.</summary>
    public long Replaced { get; private set; }

    /// <summary>What came over the bus, in order of time; whoever reads it takes it out.</summary>
    public Queue<Frame> Sent => sent;

    /// <summary>A sender puts a frame into its mailbox.</summary>
    public void Offer(in Release release)
    {
        for (var i = 0; i < waiting.Count; i++)
        {
            if (waiting[i].Mailbox != release.Mailbox)
                continue;
            // A frame that nobody acknowledges stays in the controller: the driver waits for it.
            if (lone is null)
            {
                Replaced++;
                waiting[i] = release with { At = waiting[i].At };
            }

            return;
        }

        waiting.Add(release);
    }

    /// <summary>Modules fell over in the middle of a frame: the others see an error, and what they had to say is gone.</summary>
    public void Disturb(long at, Predicate<int> mailboxIsGone)
    {
        waiting.RemoveAll(r => mailboxIsGone(r.Mailbox));
        var seen = Math.Max(at, freeAt);
        sent.Enqueue(ErrorReports.Stuff(index, seen));
        freeAt = seen + (ErrorReports.RecoveryBits * bitTime);
    }

    /// <summary>Sends everything that can begin before <paramref name="until"/>; all releases before it must have been offered.</summary>
    public void Advance(long until)
    {
        while (waiting.Count > 0)
        {
            var earliest = long.MaxValue;
            foreach (var release in waiting)
                earliest = Math.Min(earliest, release.At);
            var start = Math.Max(freeAt, earliest);
            if (start >= until)
                return;
            Send(start);
        }
    }

    private void Send(long start)
    {
        var (winner, rival) = Arbitrate(start);
        var frame = default(Frame);
        var release = waiting[winner];
        frame.SetClassic(default, index, release.Id, FrameKinds.None, release.Length, release.Payload);
        var bits = FrameBits.Of(frame);
        if (lone is not null)
        {
            freeAt = lone.Send(frame, index, start, bits, sent);
            return;
        }

        if (rival)
        {
            // Two senders of one identifier both win the arbitration and then differ in the payload: a bit error for one of them.
            sent.Enqueue(ErrorReports.Bit(index, start + ((bits / 2) * bitTime)));
            freeAt = start + (((bits / 2) + ErrorReports.RecoveryBits) * bitTime);
            // The loser of the next round is whoever has the later mailbox: it waits for one more frame.
            waiting[winner] = release with { HasCollided = true };
            return;
        }

        waiting.RemoveAt(winner);
        var end = start + (bits * bitTime);
        frame.SetClassic(new FrameTime(end), index, release.Id, FrameKinds.None, release.Length, release.Payload);
        sent.Enqueue(frame);
        freeAt = end + (InterframeBits * bitTime);
    }

    // A few dozen mailboxes at most: looking through all is quicker than keeping them in order.
    private (int Winner, bool HasRival) Arbitrate(long start)
    {
        var winner = -1;
        var rival = false;
        for (var i = 0; i < waiting.Count; i++)
        {
            if (waiting[i].At > start)
                continue;
            if (winner < 0 || waiting[i].Id < waiting[winner].Id)
                (winner, rival) = (i, false);
            else if (waiting[i].Id == waiting[winner].Id)
                rival = !waiting[i].HasCollided && !waiting[winner].HasCollided;
        }

        return (winner, rival);
    }
}

/// <summary>A frame in a sender's mailbox.</summary>
/// <param name="Mailbox">Which mailbox: one for each message of each sender.</param>
/// <param name="At">When it was put there, nanoseconds since the Unix epoch.</param>
/// <param name="Id">Its identifier.</param>
/// <param name="Length">Its payload bytes.</param>
/// <param name="Payload">Its payload as a little-endian number.</param>
internal readonly record struct Release(int Mailbox, long At, CanId Id, byte Length, ulong Payload)
{
    /// <summary>Whether it already met a frame of the same identifier.</summary>
    public bool HasCollided { get; init; }
}
