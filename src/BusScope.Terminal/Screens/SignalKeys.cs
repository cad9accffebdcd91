using BusScope.Session.Readings;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What keys do to a signal, on whatever page it was chosen.</summary>
internal static class SignalKeys
{
    /// <summary>Puts it onto the watch list or into the trace, or takes it away again.</summary>
    /// <returns>Whether the key was for that.</returns>
    public static bool Do(KeyAction action, SignalLine signal, Choice choice, Hands hands)
    {
        switch (action)
        {
            case KeyAction.WatchThis:
                hands.Say(Toggle(choice.Watched, signal.Key) ? $"{signal.Name} is watched" : $"{signal.Name} is watched no more", Ink.Note);
                choice.WatchedVersion++;
                hands.Remember();
                return true;
            case KeyAction.TraceThis when choice.Traced.Count == Choice.MostTraced && !choice.Traced.Contains(signal.Key):
                hands.Say($"the trace has room for {Choice.MostTraced} signals; t on one of them takes it out", Ink.Note);
                return true;
            case KeyAction.TraceThis:
                hands.Say(Toggle(choice.Traced, signal.Key) ? $"{signal.Name} is traced; T shows the trace" : $"{signal.Name} is traced no more", Ink.Note);
                hands.Remember();
                return true;
            default:
                return false;
        }
    }

    private static bool Toggle(List<SignalKey> signals, SignalKey signal)
    {
        if (signals.Remove(signal))
        {
            return false;
        }

        signals.Add(signal);
        return true;
    }
}
