using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;
using Terminal.Gui.Input;

namespace BusScope.Terminal.Lifetime;

/// <summary>The one window: keys in, pictures out.</summary>
internal sealed class ScreenWindow : LiveView
{
    // Nobody reads figures that change more often; every second picture at the highest rate.
    private static readonly TimeSpan FiguresEvery = TimeSpan.FromMilliseconds(90);

    private readonly IWatchedSession session;
    private readonly TimeProvider time;
    private readonly ScreenOptions options;
    private readonly Choice choice = new();
    private readonly ScreenModel model;
    private readonly Desk desk;
    private readonly Alarm alarm;
    private readonly Notice notice;
    private readonly Remembering remembering;
    private readonly Marks marks;
    private readonly bool isReplay;
    private IReadOnlyList<ReadingRequest> followed = [];
    private MessageRequest? followedMessage;
    private SessionSnapshot shown;
    private int shownVersion = -1;
    private int figuresVersion;
    private long answer = -1;
    private long figuresAt;

    /// <summary>A window over whatever snapshot is the latest.</summary>
    /// <param name="session">What is shown.</param>
    /// <param name="options">How it looks.</param>
    /// <param name="time">The time of the room.</param>
    public ScreenWindow(IWatchedSession session, ScreenOptions options, TimeProvider time)
        : base(options.IsMonochrome ? Theme.Monochrome : Theme.Coloured)
    {
        this.session = session;
        this.time = time;
        this.options = options;
        shown = session.Current;
        model = new ScreenModel(shown);
        alarm = new Alarm(time, () => Ringing?.Invoke());
        notice = new Notice(time);
        remembering = new Remembering(options.Memory, shown.Plan, choice);
        model.Update(shown, choice);
        desk = new Desk(choice, model, session, new Hands(notice.Say, Mark, TakePicture, Remember, options.Additions));
        marks = options.IsAscii ? Marks.Plain : Marks.Full;
        isReplay = session.Pace is not null;
        figuresVersion = choice.Version;
        CanFocus = true;
        if (string.Join("; ", new[] { options.Notice, remembering.LeftOut }.OfType<string>()) is { Length: > 0 } told)
        {
            notice.Say(told, Ink.Wary);
        }
    }

    /// <summary>Raised when the person wants to leave.</summary>
    public event Action? Leaving;

    /// <summary>Raised when the terminal's bell is to be heard.</summary>
    public event Action? Ringing;

    /// <summary>Asks for a new picture where there is anything new to show.</summary>
    /// <returns>Whether there was.</returns>
    public bool Refresh()
    {
        var snapshot = session.Current;
        var isOther = alarm.Beat() | notice.Beat() | (IsHolding && HasFigureTimePassed);
        if (!ReferenceEquals(snapshot, shown) || choice.Version != shownVersion)
        {
            (shown, shownVersion) = (snapshot, choice.Version);
            model.Update(snapshot, choice);
            alarm.Listen(snapshot.Health, choice);
            isOther = true;
        }

        if (isOther)
        {
            SetNeedsDraw();
        }

        return isOther;
    }

    private bool HasFigureTimePassed => time.GetElapsedTime(figuresAt) >= FiguresEvery;

    /// <inheritdoc/>
    protected override bool TakeTurnOfFigures()
    {
        // Who presses a key waits for what it does: for the picture now, and for the snapshot that answers it.
        if (choice.Version != figuresVersion)
        {
            (figuresVersion, answer) = (choice.Version, shown.Number + 1);
        }

        if (HasFigureTimePassed)
        {
            figuresAt = time.GetTimestamp();
            return true;
        }

        return shown.Number <= answer;
    }

    /// <inheritdoc/>
    protected override void Paint(Sheet sheet)
    {
        ScreenPainter.Paint(
            new Scene(sheet, marks, model, choice)
            {
                Caution = options.Caution,
                IsReplay = isReplay,
                Alarm = alarm.Reason,
                IsAlarmBright = alarm.IsBright,
                Notice = notice.Text,
                NoticeInk = notice.Ink,
            },
            desk.Top);
        Follow(desk.Top.Readings, desk.Top.Message);
    }

    /// <inheritdoc/>
    protected override bool OnKeyDown(Key key)
    {
        var rune = key.AsRune;
        var typed = rune.IsBmp && rune.Value >= ' ' && !key.IsCtrl && !key.IsAlt ? (char?)rune.Value : null;
        var name = KeyNames.Of(key, typed);

        // With cold hands and from under the bonnet: the key that quiets does nothing else.
        if (alarm.Reason is not null && name != "ctrl+c")
        {
            alarm.Quiet();
            choice.Touch();
        }
        else if (desk.Press(name, typed))
        {
            Leaving?.Invoke();
            return true;
        }

        Refresh();
        return true;
    }

    // The session is told only of what is new, so that a page that stands still asks for nothing.
    private void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message)
    {
        if (message != followedMessage || !wanted.SequenceEqual(followed))
        {
            (followed, followedMessage) = ([.. wanted], message);
            session.Follow(followed, message);
        }
    }

    private void Remember()
    {
        if (options.Remember?.Invoke(remembering.Of(choice, shown.Decoding)) is { } failure)
        {
            notice.Say($"{failure}: not kept for the next time", Ink.Wary);
        }
    }

    private void Mark(string note) =>
        notice.Say(session.Mark(note) ? "mark set, and written into the recording" : "mark set; nothing is recorded, it stands among the events alone", Ink.Note);

    private void TakePicture(bool isDrawn)
    {
        var content = isDrawn ? ScreenDrawing.Of(Shown, options.IsMonochrome ? Theme.Monochrome : Theme.Coloured) : ScreenShot.TextOf(Shown);
        var (name, failure) = ScreenShot.Write(options.PictureFolder, time.GetLocalNow(), isDrawn ? "svg" : "txt", content);
        notice.Say(name is not null ? $"screen written into {name}" : $"no screen shot: {failure}", name is not null ? Ink.Note : Ink.Bad);
    }
}
