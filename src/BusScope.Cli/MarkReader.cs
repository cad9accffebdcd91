using BusScope.Transport.Recording;

namespace BusScope.Cli;

/// <summary>
/// Lines that a person types while a recording goes on become marks in it; an empty line is a mark without a note. Nothing where
/// standard input is no terminal. The thread waits for the next line and ends with the program.
/// </summary>
internal sealed class MarkReader : IDisposable
{
    private const int LongestNote = 1000;

    private volatile bool isOver;

    /// <summary>Begins to read.</summary>
    public MarkReader(ProgramConsole console, Recorder recorder)
    {
        if (!console.InputIsTerminal)
        {
            return;
        }

        console.Say(recorder.Status.IsWaiting ? "Enter begins the recording; Ctrl-C ends." : "Enter sets a mark, a note may stand before it; Ctrl-C ends.");
        new Thread(() => Read(console.Input, recorder)) { Name = "marks", IsBackground = true }.Start();
    }

    /// <inheritdoc/>
    public void Dispose() => isOver = true;

    private void Read(Stream input, Recorder recorder)
    {
        using var lines = new StreamReader(input, leaveOpen: true);
        try
        {
            while (lines.ReadLine() is { } line && !isOver)
            {
                var note = line.Trim();
                recorder.Mark(note.Length == 0 ? "mark" : $"mark: {(note.Length > LongestNote ? note[..LongestNote] : note)}");
            }
        }
        catch (IOException)
        {
            // The terminal has gone; the recording goes on without marks.
        }
    }
}
