namespace BusScope.Terminal.Pages;

/// <summary>A key in the bottom row.</summary>
/// <param name="Keys">The keys as they are shown.</param>
/// <param name="Word">What they do, in a word.</param>
/// <param name="Rank">Which go last where there is no room for all: 0 never, 7 first.</param>
/// <param name="ForReplay">Whether it has a meaning for recordings only.</param>
internal sealed record KeyHint(string Keys, string Word, int Rank, bool ForReplay = false)
{
    /// <summary>The largest <see cref="Rank"/>.</summary>
    public const int LeastNeeded = 7;

    /// <summary>Columns that it takes.</summary>
    public int Width => Keys.Length + Word.Length + 2;
}
