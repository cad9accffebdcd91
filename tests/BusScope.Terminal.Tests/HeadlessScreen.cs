using System.Runtime.CompilerServices;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Plans;
using BusScope.Terminal.Lifetime;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;
using Terminal.Gui.Time;
using Attribute = Terminal.Gui.Drawing.Attribute;

namespace BusScope.Terminal.Tests;

/// <summary>The whole screen without a terminal: the library's own driver, reading and writing nothing.</summary>
internal sealed class HeadlessScreen : IDisposable
{
    private readonly IApplication app;
    private readonly SessionToken token;
    private readonly ScreenWindow window;

    public HeadlessScreen(SessionSnapshot snapshot, int width = 80, int height = 24, ScreenOptions? options = null, ReplayPace? pace = null)
    {
        Snapshot = snapshot;
        app = Application.Create(new VirtualTimeProvider());
        app.Init(DriverRegistry.Names.ANSI);
        app.Driver!.SetScreenSize(width, height);
        window = new ScreenWindow(new Shown(this, pace), options ?? new ScreenOptions(), Time);
        window.Ringing += () => Rings++;
        window.Leaving += () => HasLeft = true;
        app.Keyboard.KeyBindings.Remove(Key.Esc);
        token = app.Begin(window)!;
        app.LayoutAndDraw();
    }

    public SessionSnapshot Snapshot { get; set; }

    public bool HasLeft { get; private set; }

    /// <summary>The time of the room.</summary>
    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));

    /// <summary>How often the bell rang.</summary>
    public int Rings { get; private set; }

    /// <summary>The notes of marks that were set.</summary>
    public List<string> Notes { get; } = [];

    /// <summary>The moments that were jumped to.</summary>
    public List<FrameTime> Jumps { get; } = [];

    /// <summary>How often a frame was gone back.</summary>
    public int StepsBack { get; private set; }

    /// <summary>The parts that were to be repeated; null where that was to end.</summary>
    public List<ReplayLoop?> Loops { get; } = [];

    /// <summary>The signals whose readings the screen asked for last.</summary>
    public IReadOnlyList<ReadingRequest> Followed { get; private set; } = [];

    /// <summary>The message that the screen asked for last.</summary>
    public MessageRequest? FollowedMessage { get; private set; }

    /// <summary>The screen as text, a line each row.</summary>
    public string Text
    {
        get
        {
            var lines = app.Driver!.ToString()!.Replace("\r", "", StringComparison.Ordinal).Split('\n');
            return string.Join('\n', lines.Select(line => line.TrimEnd())).TrimEnd('\n');
        }
    }

    [ModuleInitializer]
    internal static void NoTerminal() => Environment.SetEnvironmentVariable("DisableRealDriverIO", "1");

    public HeadlessScreen Press(params ReadOnlySpan<Key> keys)
    {
        foreach (var key in keys)
        {
            app.InjectKey(key);
        }

        return Draw();
    }

    public HeadlessScreen Draw()
    {
        window.Refresh();
        app.LayoutAndDraw();
        return this;
    }

    /// <summary>Shows one snapshot after another.</summary>
    public HeadlessScreen Show(IEnumerable<SessionSnapshot> snapshots)
    {
        foreach (var snapshot in snapshots)
        {
            Snapshot = snapshot;
            window.Refresh();
        }

        return Draw();
    }

    /// <summary>Lets the time of the room pass.</summary>
    public HeadlessScreen Pass(double seconds)
    {
        Time.Advance(TimeSpan.FromSeconds(seconds));
        return Draw();
    }

    public HeadlessScreen Type(string text)
    {
        foreach (var c in text)
        {
            app.InjectKey((Key)c);
        }

        return Draw();
    }

    public HeadlessScreen Resize(int width, int height)
    {
        app.Driver!.SetScreenSize(width, height);
        app.LayoutAndDraw();
        return this;
    }

    /// <summary>Draws and says how many characters were sent by the window, and how many lines are left to the library.</summary>
    public (int Characters, int LibraryLines) SentByRefresh(int width = 80, int height = 24)
    {
        var lines = -1;
        void Count(object? sender, EventArgs e) => lines = app.Driver!.GetOutputBuffer().DirtyLines.Count(isDirty => isDirty);
        window.DrawComplete += Count;
        if (app.Driver!.Cols != width)
        {
            app.Driver.SetScreenSize(width, height);
        }

        window.Refresh();
        window.SetNeedsDraw();
        app.LayoutAndDraw();
        window.DrawComplete -= Count;
        return (window.Sent, lines);
    }

    /// <summary>The attribute of the first cell of a text on the screen.</summary>
    public Attribute AttributeOf(string text)
    {
        var lines = Text.Split('\n');
        var row = Array.FindIndex(lines, line => line.Contains(text, StringComparison.Ordinal));
        return app.Driver!.GetOutputBuffer().Contents![row, lines[row].IndexOf(text, StringComparison.Ordinal)].Attribute!.Value;
    }

    /// <summary>Every different attribute on the screen.</summary>
    public HashSet<Attribute> Attributes()
    {
        var all = new HashSet<Attribute>();
        foreach (var cell in app.Driver!.GetOutputBuffer().Contents!)
        {
            all.Add(cell.Attribute!.Value);
        }

        return all;
    }

    /// <summary>The screen with its colours, as a terminal would be told it.</summary>
    public string Ansi => app.Driver!.ToAnsi();

    public void Dispose()
    {
        app.End(token);
        window.Dispose();
        app.Dispose();
    }

    /// <summary>A session of which the test says what it shows.</summary>
    private sealed class Shown(HeadlessScreen screen, ReplayPace? pace) : IWatchedSession
    {
        public SessionSnapshot Current => screen.Snapshot;

        public ReplayPace? Pace => pace;

        public bool Mark(string note)
        {
            screen.Notes.Add(note);
            return screen.Snapshot.IsRecorded;
        }

        public void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message = null) => (screen.Followed, screen.FollowedMessage) = (wanted, message);

        public void Widen(DefinitionPlan plan) => screen.Snapshot = screen.Snapshot with { Widened = plan, Number = screen.Snapshot.Number + 1 };

        public bool CanJump => screen.Snapshot.Survey is not null;

        public void JumpTo(FrameTime moment) => screen.Jumps.Add(moment);

        public void StepBack() => screen.StepsBack++;

        public void Repeat(ReplayLoop? part) => screen.Loops.Add(part);
    }
}
