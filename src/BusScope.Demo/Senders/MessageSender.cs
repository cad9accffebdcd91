using BusScope.Demo.Car;
using BusScope.Demo.Wires;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Demo.Senders;

/// <summary>
/// One message of one module: released at its period by the module's own clock, with the jitter of its tasks, and when its
/// content changes if it is that kind of message.
/// </summary>
internal sealed class MessageSender
{
    // Between two frames of an event-driven message, s.
    private const double LeastGap = 0.02;
    private const double LargestFirstOffset = 0.1;

    private readonly Module module;
    private readonly FrameContent content;
    private readonly SeededRandom random;
    private readonly int mailbox;
    private readonly CanId id;
    private readonly double? period;
    private readonly double firstOffset;
    private readonly bool onChange;

    private double next = double.NaN;
    private double last = double.NegativeInfinity;
    private ulong lastContent;

    /// <summary>A sender that has not sent yet.</summary>
    /// <param name="definition">The message.</param>
    /// <param name="sending">How it is sent.</param>
    /// <param name="module">Who sends it.</param>
    /// <param name="content">What fills its frames.</param>
    /// <param name="mailbox">A number that no other sender has.</param>
    /// <param name="faults">What goes wrong with it.</param>
    /// <param name="seed">Of the story.</param>
    public MessageSender(
        MessageDefinition definition, Sending sending, Module module, FrameContent content, int mailbox, IReadOnlyList<MessageFault> faults, ulong seed)
    {
        this.module = module;
        this.mailbox = mailbox;
        this.content = content;
        id = sending.Id;
        random = SeededRandom.For(seed, module.Name + "/" + definition.Name);
        onChange = definition.Timing.OnChange && sending.FirstOffset is null;
        period = sending.Every * (faults.OfType<MessageFault.TooSlow>().FirstOrDefault()?.Factor ?? 1);
        firstOffset = sending.FirstOffset ?? random.Between(0, Math.Min(period ?? 0, LargestFirstOffset));
    }

    /// <summary>Which mailbox it uses.</summary>
    public int Mailbox => mailbox;

    /// <summary>Who sends it.</summary>
    public Module Module => module;

    /// <summary>Puts what falls due in the millisecond up to the car's time into the mailbox.</summary>
    public void Advance(Dunlin car, long epoch, BusLine bus)
    {
        var now = car.Time;
        if (!module.IsAwake)
        {
            next = double.NaN;
            return;
        }

        if (double.IsNaN(next))
        {
            next = period is null ? double.PositiveInfinity : now + firstOffset;
            // What a module says first is no change.
            lastContent = onChange ? content.Preview(car) : 0;
        }

        if (next <= now)
        {
            Release(car, epoch, bus, next + random.Between(0, Jitter));
            next += period!.Value * (1 + (module.ClockError * 1e-6));
        }
        else if (onChange && now - last >= LeastGap && content.Preview(car) != lastContent)
        {
            Release(car, epoch, bus, now - 0.001 + random.Between(0, 0.001));
        }
    }

    // Tasks of a control unit hold one another up by tenths of a millisecond; slow messages have the idler tasks.
    private double Jitter => period is < 0.015 ? 0.00012 : 0.0006;

    private void Release(Dunlin car, long epoch, BusLine bus, double at)
    {
        lastContent = onChange ? content.Preview(car) : 0;
        last = at;
        var (length, payload) = content.Next(car);
        bus.Offer(new Release(mailbox, epoch + (long)Math.Round(at * FrameSpan.NanosecondsPerSecond), id, length, payload));
    }
}
