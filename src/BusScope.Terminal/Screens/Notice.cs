using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What was done at a key, said for a few seconds. Used by the screen's thread alone.</summary>
internal sealed class Notice(TimeProvider time)
{
    // A whole sentence takes longer to read than what a key just did.
    private const int LongText = 60;
    private static readonly TimeSpan Stays = TimeSpan.FromSeconds(4), LongStays = TimeSpan.FromSeconds(10);

    private long since;

    /// <summary>What is said, or null.</summary>
    public string? Text { get; private set; }

    /// <summary>How it looks.</summary>
    public Ink Ink { get; private set; }

    /// <summary>Says something from now on.</summary>
    public void Say(string text, Ink ink) => (Text, Ink, since) = (text, ink, time.GetTimestamp());

    /// <summary>Lets time pass.</summary>
    /// <returns>Whether the screen looks different now.</returns>
    public bool Beat()
    {
        if (Text is null || time.GetElapsedTime(since) < (Text.Length > LongText ? LongStays : Stays))
        {
            return false;
        }

        Text = null;
        return true;
    }
}
