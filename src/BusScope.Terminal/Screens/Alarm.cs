using BusScope.Frames;
using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// For somebody whose eyes are elsewhere: when something new goes wrong it rings, and again every two seconds, and a word flashes,
/// until a key quiets it. What was wrong when it was turned on is known. Used by the screen's thread alone.
/// </summary>
/// <param name="time">The time of the room.</param>
/// <param name="ring">Rings once.</param>
internal sealed class Alarm(TimeProvider time, Action ring)
{
    private static readonly TimeSpan RingEvery = TimeSpan.FromSeconds(2), FlashEvery = TimeSpan.FromMilliseconds(500);

    // An identifier without a definition stays away when it misses so many of its periods, and at least a second.
    private const int MissedPeriods = 10;

    // One fault starves one module after another; who has just quieted it is looking.
    private static readonly TimeSpan StaysQuiet = TimeSpan.FromSeconds(2);

    private static readonly FrameSpan LeastAbsence = FrameSpan.FromSeconds(1);

    private HashSet<Trouble> known = [];
    private HashSet<Trouble> found = [];
    private AlarmMode heard;
    private long since;
    private long rings;
    private long? quieted;

    /// <summary>What it sounds on, or null while it is quiet.</summary>
    public string? Reason { get; private set; }

    /// <summary>Whether the flashing word stands at its brightest.</summary>
    public bool IsBright { get; private set; }

    /// <summary>Holds a report against what is known.</summary>
    public void Listen(HealthReport health, Choice choice)
    {
        found.Clear();
        Find(health, choice);
        var isNew = choice.Alarm != AlarmMode.Off && heard != AlarmMode.Off && (quieted is not { } at || time.GetElapsedTime(at) >= StaysQuiet);
        string? reason = null;
        foreach (var trouble in found)
        {
            reason ??= isNew && !known.Contains(trouble) ? Tell(health, trouble) : null;
        }

        heard = choice.Alarm;
        (known, found) = (found, known);
        if (choice.Alarm == AlarmMode.Off)
        {
            Reason = null;
        }
        else if (reason is not null)
        {
            (Reason, IsBright, since, rings) = (reason, true, time.GetTimestamp(), 1);
            ring();
        }
    }

    /// <summary>Lets time pass: rings and flashes when it is due.</summary>
    /// <returns>Whether the screen looks different now.</returns>
    public bool Beat()
    {
        if (Reason is null)
        {
            return false;
        }

        var elapsed = time.GetElapsedTime(since);
        if (elapsed >= RingEvery * rings)
        {
            rings = (long)(elapsed / RingEvery) + 1;
            ring();
        }

        var wasBright = IsBright;
        IsBright = (long)(elapsed / FlashEvery) % 2 == 0;
        return IsBright != wasBright;
    }

    /// <summary>Ends the sounding; what is wrong now, or goes wrong within two seconds, is known from here on.</summary>
    public void Quiet() => (Reason, quieted) = (null, time.GetTimestamp());

    private void Find(HealthReport health, Choice choice)
    {
        for (var i = 0; i < health.Modules.Count && choice.Alarm == AlarmMode.AnyNoGo; i++)
        {
            if (health.Modules[i].Verdict == Verdict.NoGo)
            {
                found.Add(new Trouble(i, null));
            }
        }

        // Without modules, or where they are served and something else is not as defined, there is the answer for the whole.
        if (choice.Alarm == AlarmMode.AnyNoGo && health.Verdict == Verdict.NoGo)
        {
            found.Add(new Trouble(-1, null));
        }

        for (var i = 0; i < health.Messages.Count && choice.Alarmed.Count > 0; i++)
        {
            if (MessageKey.Of(health.Messages[i]) is var key && choice.Alarmed.Contains(key) && StaysAway(health, health.Messages[i]))
            {
                found.Add(new Trouble(-1, key));
            }
        }
    }

    private static bool StaysAway(HealthReport health, MessageHealth message)
    {
        if (message.State is MessageState.Stale or MessageState.Missing || message.BusIsSilent)
        {
            return true;
        }

        return message is { State: null, Last: { } last } && health.Now is { } now && now - last is var age && age > LeastAbsence
            && message.Period.Median is { } period && age > period * MissedPeriods;
    }

    private static string Tell(HealthReport health, Trouble trouble)
    {
        if (trouble.Module >= 0)
        {
            return $"{health.Modules[trouble.Module].Definition.Title}: NO-GO";
        }

        foreach (var message in health.Messages)
        {
            if (trouble.Message is { } key && MessageKey.Of(message) == key)
            {
                var word = message.State is MessageState.Stale or MessageState.Missing ? Marks.Word(message.State) : "stays away";
                return $"{message.Definition?.Name ?? message.Id?.ToString()}: {word}";
            }
        }

        return "NO-GO";
    }

    // A module by its index, or a message, or neither for the answer as a whole.
    private readonly record struct Trouble(int Module, MessageKey? Message);
}
