using System.Globalization;

namespace BusScope.Cli;

/// <summary>One line on standard error that says how far a long command has come; nothing where nobody watches.</summary>
internal sealed class ProgressLine(ProgramConsole console, string what) : IProgress<double>, IDisposable
{
    // Shorter work needs no line, and a terminal no more than some ten a second.
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(0.5);
    private static readonly TimeSpan Between = TimeSpan.FromSeconds(0.1);

    private readonly long start = console.Time.GetTimestamp();
    private TimeSpan next = Patience;
    private int written;

    /// <inheritdoc/>
    public void Report(double value) => Show(() => string.Create(CultureInfo.InvariantCulture, $"{what} {value * 100:0} %"));

    /// <summary>Shows a text where one is due and somebody watches.</summary>
    public void Show(Func<string> words)
    {
        if (!console.ErrorIsTerminal)
        {
            return;
        }

        var passed = console.Time.GetElapsedTime(start);
        if (passed >= next)
        {
            var text = words();
            console.Error.Write("\r" + text.PadRight(written));
            console.Error.Flush();
            written = text.Length;
            next = passed + Between;
        }
    }

    /// <summary>Wipes the line.</summary>
    public void Dispose()
    {
        if (written > 0)
        {
            console.Error.Write("\r" + new string(' ', written) + "\r");
            console.Error.Flush();
        }
    }
}
