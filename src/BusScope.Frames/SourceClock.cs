namespace BusScope.Frames;

/// <summary>Whether a source's frames come as they happen, and by whose clock they are stamped.</summary>
public enum SourceClock
{
    /// <summary>Everything is there already: time passes as fast as it is read.</summary>
    Recorded,

    /// <summary>Frames come as they happen and are stamped by this machine's clock.</summary>
    Ours,

    /// <summary>Frames come as they happen, stamped by the clock of another machine or of an adapter.</summary>
    Theirs,
}
