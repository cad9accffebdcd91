using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>Everything that is known at one place of a recording, so that reading can begin there. Nobody changes it: each use copies the state.</summary>
/// <param name="Place">Where the source stands, or null where it cannot say: then it is read from its beginning.</param>
/// <param name="State">The state of the monitor and the events.</param>
internal sealed record Checkpoint(SourcePlace? Place, Lookout State)
{
    /// <summary>How far it is.</summary>
    public Standing At => State.Passage.Standing;
}
