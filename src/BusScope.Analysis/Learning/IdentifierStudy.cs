using BusScope.Analysis.Learning.Conditions;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>Everything that is kept of one identifier on one bus while captures are read: bounded, whatever their size.</summary>
public sealed class IdentifierStudy
{
    private const int MostLengths = 4;

    private readonly long[] lengths = new long[Payload.Capacity + 1];
    private readonly SortedDictionary<int, PayloadSamples> samples = [];
    private readonly List<Presence> presences = [];
    private PayloadSamples? latest;

    internal IdentifierStudy(string bus, CanId id)
    {
        Bus = bus;
        Id = id;
    }

    /// <summary>The name of the bus.</summary>
    public string Bus { get; }

    /// <summary>The identifier.</summary>
    public CanId Id { get; }

    /// <summary>Data frames seen.</summary>
    public long Frames { get; private set; }

    /// <summary>The length that most frames have.</summary>
    public int Length => Array.IndexOf(lengths, lengths.Max());

    /// <summary>Frames of another length than <see cref="Length"/>.</summary>
    public long OtherLengths => Frames - lengths.Max();

    /// <summary>The gaps between frames.</summary>
    public GapStudy Gaps { get; } = new();

    /// <summary>When it was there, one entry for each capture that has it.</summary>
    public IReadOnlyList<Presence> Presences => presences;

    /// <summary>Which bits changed, and when the quiet ones did.</summary>
    public BitHistory Bits { get; } = new();

    /// <summary>Which bits never rest.</summary>
    public LifeStudy Life { get; } = new();

    /// <summary>Payloads of the usual length, or null where none was kept.</summary>
    public PayloadSamples? Samples => samples.GetValueOrDefault(Length);

    internal void Accept(in Frame frame, int capture)
    {
        var data = frame.Data;
        Frames++;
        lengths[data.Length]++;
        NoteTime(frame.Time, capture);
        Bits.Note(frame, capture);
        Life.Note(frame, capture);
        if (latest?.Length != data.Length && !samples.TryGetValue(data.Length, out latest) && samples.Count < MostLengths)
        {
            samples.Add(data.Length, latest = new PayloadSamples(data.Length));
        }

        latest?.Add(data);
    }

    private void NoteTime(FrameTime time, int capture)
    {
        if (presences.Count == 0 || presences[^1].Capture != capture)
        {
            // A new capture: its clock has nothing to do with the last one's.
            presences.Add(new Presence(capture, time));
            Gaps.Break();
        }
        else
        {
            presences[^1].Note(time);
        }

        Gaps.Note(time);
    }
}
