using BusScope.Frames;
using BusScope.Session.Replay;

namespace BusScope.Terminal.Screens;

/// <summary>What the keys of a recording do to its pace.</summary>
internal static class PaceKeys
{
    private static readonly double[] Speeds = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, ReplayPace.AsFastAsPossible];

    /// <summary>Does what a key is for; nothing where it is for something else.</summary>
    public static void Turn(ReplayPace pace, KeyAction action)
    {
        switch (action)
        {
            case KeyAction.Pause: pace.IsPaused = !pace.IsPaused; break;
            case KeyAction.StepFrame: pace.StepFrame(); break;
            case KeyAction.StepSecond: pace.StepTime(FrameSpan.FromSeconds(1)); break;
            case KeyAction.Faster: pace.Speed = Speeds[Math.Min(Speeds.Length - 1, Place(pace) + 1)]; break;
            case KeyAction.Slower: pace.Speed = Speeds[Math.Max(0, Place(pace) - 1)]; break;
            case KeyAction.AsRecorded: pace.Speed = 1; break;
            case KeyAction.AsFastAsPossible: pace.Speed = ReplayPace.AsFastAsPossible; break;
            default: break;
        }
    }

    private static int Place(ReplayPace pace) => Array.FindLastIndex(Speeds, speed => speed <= pace.Speed);
}
