using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>
/// Reads captures of a healthy car, one after the other, and keeps what is needed to learn from them: of each identifier on each bus,
/// and of each bus as a whole.
/// </summary>
public sealed class CaptureStudy
{
    private const int MostIdentifiers = 65_536;

    private readonly Dictionary<(string Bus, CanId Id), IdentifierStudy> studies = [];
    private readonly Dictionary<string, List<Presence>> buses = [];
    private readonly List<Presence> wholes = [];
    private readonly List<Dictionary<CanId, IdentifierStudy>> ofThisCapture = [];
    private readonly List<Presence?> busesOfThisCapture = [];

    /// <summary>Captures read.</summary>
    public int Captures { get; private set; }

    /// <summary>Data frames taken in.</summary>
    public long Frames { get; private set; }

    /// <summary>Data frames of identifiers beyond the most that are studied.</summary>
    public long Overflow { get; private set; }

    /// <summary>Time covered, over all captures.</summary>
    public FrameSpan Duration { get; private set; }

    /// <summary>By bus in order of appearance, then by identifier.</summary>
    public IReadOnlyList<IdentifierStudy> Identifiers =>
        [.. studies.Values.GroupBy(study => study.Bus).SelectMany(bus => bus.OrderBy(study => study.Id))];

    /// <summary>When something could be seen of a bus, one entry for each capture that has it.</summary>
    public IReadOnlyList<BusTime> TimesOf(string bus) => buses.TryGetValue(bus, out var found)
        ? [.. found.Select(spoke => BusTime.Of(spoke, wholes.First(whole => whole.Capture == spoke.Capture)))]
        : [];

    /// <summary>Reads a capture to its end, or as far as it can be read.</summary>
    /// <param name="source">The capture; its buses are matched by name with those of captures before it.</param>
    /// <param name="progress">Told now and then how much is read, 0 to 1; or null.</param>
    /// <param name="cancellation">Stops reading.</param>
    /// <exception cref="SourceException">The source failed; what came until then is taken in.</exception>
    public void Read(IFrameSource source, IProgress<double>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(source);
        ofThisCapture.Clear();
        busesOfThisCapture.Clear();
        var batch = new FrameBatch();
        try
        {
            for (var turn = 0; source.Read(batch, cancellation) != SourceState.Ended; turn++)
            {
                cancellation.ThrowIfCancellationRequested();
                foreach (ref readonly var frame in batch.Frames)
                {
                    if (frame.CarriesData)
                    {
                        Accept(frame, source.Buses);
                    }
                }

                if (turn % 64 == 0 && source.Progress is { } done)
                {
                    progress?.Report(done);
                }
            }
        }
        finally
        {
            Finish();
        }
    }

    private void Finish()
    {
        Duration += wholes.Count > 0 && wholes[^1].Capture == Captures ? wholes[^1].Last - wholes[^1].First : FrameSpan.Zero;
        Captures++;
    }

    private void Accept(in Frame frame, IReadOnlyList<Bus> names)
    {
        while (ofThisCapture.Count <= frame.Bus)
        {
            ofThisCapture.Add([]);
            busesOfThisCapture.Add(null);
        }

        NoteBus(frame, names);
        var ofBus = ofThisCapture[frame.Bus];
        if (!ofBus.TryGetValue(frame.Id, out var study))
        {
            var key = (names[frame.Bus].Name, frame.Id);
            if (!studies.TryGetValue(key, out study) && studies.Count == MostIdentifiers)
            {
                Overflow++;
                return;
            }

            study ??= studies[key] = new IdentifierStudy(key.Name, frame.Id);
            ofBus.Add(frame.Id, study);
        }

        Frames++;
        study.Accept(frame, Captures);
    }

    private void NoteBus(in Frame frame, IReadOnlyList<Bus> names)
    {
        if (wholes.Count == 0 || wholes[^1].Capture != Captures)
        {
            wholes.Add(new Presence(Captures, frame.Time));
        }
        else
        {
            wholes[^1].Note(frame.Time);
        }

        if (busesOfThisCapture[frame.Bus] is { } known)
        {
            known.Note(frame.Time);
            return;
        }

        var name = names[frame.Bus].Name;
        if (!buses.TryGetValue(name, out var list))
        {
            buses.Add(name, list = []);
        }

        var presence = new Presence(Captures, frame.Time);
        list.Add(presence);
        busesOfThisCapture[frame.Bus] = presence;
    }
}
