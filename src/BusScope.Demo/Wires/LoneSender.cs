using BusScope.Frames;

namespace BusScope.Demo.Wires;

/// <summary>
/// A sender alone on its bus (ISO 11898-1, fault confinement). Nobody acknowledges, so it repeats its first frame for ever. At
/// first each try ends in an active error flag, which a listener reports; after sixteen, at a transmit error count of 128, it is
/// error-passive: its flag is recessive, the listener sees a whole frame each time, and the count stays where it is.
/// </summary>
internal sealed class LoneSender(long bitTime)
{
    private const int AcknowledgeAndEndBits = 9;
    private const int ErrorStep = 8;
    private const int PassiveFrom = 128;
    private const int PassiveFlagBits = 6;
    private const int DelimiterBits = 8;
    private const int InterframeBits = 3;
    private const int SuspendBits = 8;

    private int errorCount;

    /// <summary>One try.</summary>
    /// <returns>When the next can begin.</returns>
    public long Send(in Frame frame, ushort bus, long start, int bits, Queue<Frame> sent)
    {
        // The acknowledge slot is followed by its delimiter and seven bits of end of frame: eight bits before the end.
        var slotEnd = start + ((bits - AcknowledgeAndEndBits + 1) * bitTime);
        if (errorCount < PassiveFrom)
        {
            errorCount += ErrorStep;
            sent.Enqueue(ErrorReports.NotAcknowledged(bus, slotEnd + bitTime));
            return slotEnd + ((PassiveFlagBits + DelimiterBits + InterframeBits) * bitTime);
        }

        var seen = frame;
        seen.SetClassic(new FrameTime(start + (bits * bitTime)), bus, frame.Id, FrameKinds.None, frame.Length, frame.FirstEight);
        sent.Enqueue(seen);
        return slotEnd + ((PassiveFlagBits + DelimiterBits + InterframeBits + SuspendBits) * bitTime);
    }
}
