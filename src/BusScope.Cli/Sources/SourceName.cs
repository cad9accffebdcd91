using BusScope.Transport.Kernel;

namespace BusScope.Cli.Sources;

/// <summary>A source as a person typed it: <c>[BUS=]WHERE</c>.</summary>
/// <param name="Bus">The name that its bus shall have, or null.</param>
/// <param name="Where">A file, <c>-</c>, a CAN interface, or <c>demo:NAME</c>.</param>
internal readonly record struct SourceName(string? Bus, string Where)
{
    private const string DemoPrefix = "demo:";
    private const string PcanPrefix = "pcan:";

    /// <summary>Whether it is standard input.</summary>
    public bool IsStandardInput => Where == "-";

    /// <summary>The name of the story where it is the simulator, or null.</summary>
    public string? Story => Where.StartsWith(DemoPrefix, StringComparison.Ordinal) ? Where[DemoPrefix.Length..] : null;

    /// <summary>The channel and its bit rate where it is an adapter behind the library PCAN-Basic, or null.</summary>
    public string? Pcan => Where.StartsWith(PcanPrefix, StringComparison.Ordinal) ? Where[PcanPrefix.Length..] : null;

    /// <summary>
    /// Whether it is an interface of the kernel: there is one of that name and no file, or neither, and it looks like one. So a slip in
    /// <c>can1</c> is answered as one, and a file is always a file.
    /// </summary>
    public bool IsInterface => !File.Exists(Where) && (KernelAdapters.Exists(Where) || LooksLikeInterface(Where));

    /// <summary>Whether it is an adapter on a bus.</summary>
    public bool IsAdapter => IsInterface || Pcan is not null;

    // can0, vcan1: letters with "can" at their end, then a number.
    private static bool LooksLikeInterface(string text) =>
        text.TrimEnd("0123456789".ToCharArray()) is var word && word.Length < text.Length && word.EndsWith("can", StringComparison.Ordinal) && word.All(char.IsAsciiLetterLower);

    /// <summary>Reads what was typed. A file whose own name holds <c>=</c> can be named with its folder: <c>./a=b.pcapng</c>.</summary>
    /// <exception cref="UsageException">Nothing stands behind the name of the bus.</exception>
    public static SourceName Parse(string text)
    {
        var equals = text.IndexOf('=', StringComparison.Ordinal);
        if (equals <= 0 || text.AsSpan(0, equals).IndexOfAny('/', '\\') >= 0)
        {
            return new SourceName(null, text);
        }

        var where = text[(equals + 1)..];
        return !string.IsNullOrWhiteSpace(where) ? new SourceName(text[..equals], where)
            : throw new UsageException($"{text}: no source is named behind the bus");
    }
}
