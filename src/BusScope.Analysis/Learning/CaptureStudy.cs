using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>Reads captures of a healthy car and keeps, for every identifier on every bus, what is needed to learn its behaviour.</summary>
public sealed class CaptureStudy
{
    private const int MostIdentifiers = 65_536;

    private readonly Dictionary<(string Bus, CanId Id), IdentifierStudy> studies = [];
    private readonly Dictionary<(ushort Bus, CanId Id), IdentifierStudy> ofThisCapture = [];

    /// <summary>Data frames taken in.</summary>
    public long Frames { get; private set; }

    /// <summary>Data frames of identifiers beyond the most that are studied.</summary>
    public long Overflow { get; private set; }

    /// <summary>Time covered, over all captures.</summary>
    public FrameSpan Duration { get; private set; }

    /// <summary>By bus in order of appearance, then by identifier.</summary>
    public IReadOnlyList<IdentifierStudy> Identifiers =>
        [.. studies.Values.GroupBy(s => s.Bus).SelectMany(bus => bus.OrderBy(s => s.Id))];

    /// <summary>Reads a capture to its end.</summary>
    /// <param name="source">The capture; its buses are matched by name with those of captures before it.</param>
    /// <param name="progress">Called now and then with the part read, 0 to 1.</param>
    /// <param name="cancellation">Stops reading.</param>
    public void Read(IFrameSource source, Action<double?>? progress, CancellationToken cancellation)
    {
        ofThisCapture.Clear();
        foreach (var study in studies.Values)
        {
            study.BreakTime();
        }

        var batch = new FrameBatch();
        var (first, last) = (long.MaxValue, long.MinValue);
        for (var state = source.Read(batch, cancellation); state != SourceState.Ended; state = source.Read(batch, cancellation))
        {
            cancellation.ThrowIfCancellationRequested();
            foreach (ref readonly var frame in batch.Frames)
            {
                first = Math.Min(first, frame.Time.Nanoseconds);
                last = Math.Max(last, frame.Time.Nanoseconds);
                if (frame.CarriesData)
                {
                    Accept(frame, source.Buses);
                }
            }

            progress?.Invoke(source.Progress);
        }

        Duration += first <= last ? new FrameSpan(last - first) : FrameSpan.Zero;
    }

    private void Accept(in Frame frame, IReadOnlyList<Bus> buses)
    {
        if (!ofThisCapture.TryGetValue((frame.Bus, frame.Id), out var study))
        {
            var key = (buses[frame.Bus].Name, frame.Id);
            if (!studies.TryGetValue(key, out study) && studies.Count == MostIdentifiers)
            {
                Overflow++;
                return;
            }

            study ??= studies[key] = new IdentifierStudy(key.Name, frame.Id);
            ofThisCapture.Add((frame.Bus, frame.Id), study);
        }

        Frames++;
        study.Accept(frame);
    }
}
