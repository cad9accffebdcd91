namespace BusScope.Terminal.Drawing;

/// <summary>What a piece of text is, for the theme to choose how it looks. Colour only supports: the same is always said by a word or a mark.</summary>
internal enum Ink : byte
{
    /// <summary>Ordinary text.</summary>
    Plain,

    /// <summary>What can be overlooked: rules, units, what is not expected.</summary>
    Quiet,

    /// <summary>Headings and names.</summary>
    Strong,

    /// <summary>As expected.</summary>
    Good,

    /// <summary>Not as it should be, nobody starves yet.</summary>
    Wary,

    /// <summary>Something needed does not arrive.</summary>
    Bad,

    /// <summary>Worth knowing.</summary>
    Note,

    /// <summary>Changed a moment ago.</summary>
    Changed,

    /// <summary>The chosen line of the part that the keys go to.</summary>
    Chosen,

    /// <summary>A banner that says GO.</summary>
    GoodBanner,

    /// <summary>A banner that says NO-GO.</summary>
    BadBanner,

    /// <summary>A banner that cannot say either.</summary>
    OpenBanner,

    /// <summary>A key that can be pressed.</summary>
    Key,
}
