using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Pcapng;

/// <summary>Keeps comments on sections and interfaces up to a limit for the whole file, and counts what is left out.</summary>
internal sealed class CommentStore(ProblemLog problems)
{
    /// <summary>Characters kept of all comments together.</summary>
    public const int Room = 1024 * 1024;

    private readonly List<string> ofSections = [];
    private int used;

    /// <summary>Comments on the recording as a whole.</summary>
    public IReadOnlyList<string> OfSections => ofSections;

    /// <summary>Takes over what another store keeps of sections, and how much room it used. Only while this one is empty.</summary>
    public void TakeOver(CommentStore other)
    {
        ofSections.AddRange(other.ofSections);
        used = other.used;
    }

    /// <summary>Keeps a comment on a section; one that stands already, as in files put together, only once.</summary>
    public void KeepOfSection(string text, long offset)
    {
        if (!ofSections.Contains(text))
        {
            Keep(ofSections, text, offset);
        }
    }

    /// <summary>Keeps a comment in a list.</summary>
    public void Keep(List<string> list, string text, long offset)
    {
        // An empty comment costs something too.
        var cost = text.Length + 32;
        if (used + cost > Room)
        {
            problems.Add(CaptureProblems.CommentsLeftOut, new ProblemPlace(ByteOffset: offset));
            return;
        }

        used += cost;
        list.Add(text);
    }
}
