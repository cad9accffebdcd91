namespace BusScope.Cli;

/// <summary>What the program says to the shell when it ends (docs/command-line.md).</summary>
internal static class ExitStatus
{
    /// <summary>Done, and nothing was found.</summary>
    public const int Fine = 0;

    /// <summary>The check found something.</summary>
    public const int Found = 1;

    /// <summary>Wrong usage or wrong definitions.</summary>
    public const int Usage = 2;

    /// <summary>A source failed, or an output cannot be written.</summary>
    public const int SourceFailed = 3;

    /// <summary>A fault of the program itself (EX_SOFTWARE of sysexits.h).</summary>
    public const int OurFault = 70;

    /// <summary>Broken off by a person: 128 and the number of SIGINT, as a shell says it.</summary>
    public const int Interrupted = 130;

    /// <summary>The reader of our output went away: 128 and the number of SIGPIPE, as a shell says it. Never 0, which would mean GO.</summary>
    public const int ReaderGone = 141;
}
