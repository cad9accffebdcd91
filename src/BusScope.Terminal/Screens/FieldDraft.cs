using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Terminal.Screens;

/// <summary>What of a field is set by a key or typed.</summary>
internal enum FieldSetting
{
    /// <summary>The byte order.</summary>
    Order,

    /// <summary>Signed or unsigned.</summary>
    Sign,

    /// <summary>What a step of the raw value is worth.</summary>
    Scale,

    /// <summary>The value at raw 0.</summary>
    Offset,

    /// <summary>The unit.</summary>
    Unit,

    /// <summary>The signal's name.</summary>
    Name,

    /// <summary>The name of the message that it belongs to, where the file does not have it yet.</summary>
    Message,

    /// <summary>The definition file, where the message has none.</summary>
    File,
}

/// <summary>
/// A field that a person is defining: from the bit where it began to the bit under the cursor, with what else a signal needs. On the
/// screen's thread.
/// </summary>
/// <param name="message">The message it is in.</param>
/// <param name="id">The identifier of its frames.</param>
/// <param name="at">The bit where it begins.</param>
internal sealed class FieldDraft(MessageKey message, CanId id, BitPosition at)
{
    /// <summary>The most bits of a number.</summary>
    public const int MostBits = 64;

    private MessagePlan? plan;

    /// <summary>The message it is in.</summary>
    public MessageKey Message => message;

    /// <summary>The bit where it began.</summary>
    public BitPosition Begin { get; private set; } = at;

    /// <summary>The bit at its other end, under the cursor.</summary>
    public BitPosition End { get; private set; } = at;

    /// <summary>Its byte order.</summary>
    public ByteOrder Order { get; private set; }

    /// <summary>Whether it is in two's complement.</summary>
    public bool IsSigned { get; set => Set(out field, value); }

    /// <summary>What a step of the raw value is worth. Not 0.</summary>
    public double Scale { get; set => Set(out field, value); } = 1;

    /// <summary>The value at raw 0.</summary>
    public double Offset { get; set => Set(out field, value); }

    /// <summary>Its unit; empty for none.</summary>
    public string Unit { get; set => Set(out field, value); } = "";

    /// <summary>Its name; empty before it has one.</summary>
    public string Name { get; set => Set(out field, value); } = "";

    /// <summary>The message's name in the file.</summary>
    public required string MessageName { get; set; }

    /// <summary>Whether the file has the message under that name.</summary>
    public required bool HasMessage { get; init; }

    /// <summary>The definition file.</summary>
    public required string File { get; set; }

    /// <summary>The setting that Enter changes.</summary>
    public FieldSetting Chosen { get; private set; } = FieldSetting.Order;

    /// <summary>Why it was not written, until the next key; or null.</summary>
    public string? Fault { get; set; }

    /// <summary>The settings that there are, in order.</summary>
    public FieldSetting[] Settings { get; private set; } = [];

    /// <summary>Its bits.</summary>
    public BitField Bits => BitField.Between(Begin, End, Order);

    /// <summary>It as a signal.</summary>
    public SignalDefinition Signal => Plan.Definition.Signals[0];

    /// <summary>How it is read: a message with this signal alone.</summary>
    public MessagePlan Plan => plan ??= PlanOf(Name.Length > 0 ? Name : "field", Scale, Offset, Unit.Length > 0 ? Unit : null);

    /// <summary>It without scale and offset, for its range in raw values.</summary>
    public SignalDefinition Bare => PlanOf("field", 1, 0, null).Definition.Signals[0];

    /// <summary>Lets its other end be where the cursor is.</summary>
    /// <returns>False where it would be longer than a number can be; nothing is changed then.</returns>
    public bool Reach(BitPosition end)
    {
        if (BitField.Between(Begin, end, Order).Length > MostBits)
        {
            return false;
        }

        (End, plan) = (end, null);
        return true;
    }

    /// <summary>Begins anew at the cursor.</summary>
    public void BeginAt(BitPosition begin) => (Begin, End, plan) = (begin, begin, null);

    /// <summary>Turns the byte order. Of a field of several bytes both ends are mirrored in their bytes, so that whole bytes stay whole bytes.</summary>
    public void TurnOrder()
    {
        Order = Order == ByteOrder.Big ? ByteOrder.Little : ByteOrder.Big;
        if (Begin.Byte != End.Byte)
        {
            (Begin, End) = (Begin with { Bit = 7 - Begin.Bit }, End with { Bit = 7 - End.Bit });
        }

        plan = null;
    }

    /// <summary>Chooses the next setting, or the one before.</summary>
    public void Choose(int steps)
    {
        var at = Array.IndexOf(Settings, Chosen);
        Chosen = Settings[(at + steps + Settings.Length) % Settings.Length];
    }

    /// <summary>Says what can be set beside what a field always has.</summary>
    /// <param name="hasFile">Whether the file is that of the message's definition.</param>
    public void Offer(bool hasFile) =>
        Settings = [.. Enum.GetValues<FieldSetting>().Where(setting => setting != FieldSetting.Message || !HasMessage).Where(setting => setting != FieldSetting.File || !hasFile)];

    private MessagePlan PlanOf(string name, double scale, double offset, string? unit) => new(new MessageDefinition
    {
        Name = "message",
        Key = new Signals.Definitions.MessageKey.Identifier(id),
        Signals =
        [
            new SignalDefinition { Name = name, Field = Bits, Encoding = IsSigned ? SignalEncoding.Signed : SignalEncoding.Unsigned, Scale = scale, Offset = offset, Unit = unit },
        ],
    });

    private void Set<T>(out T setting, T value)
    {
        setting = value;
        plan = null;
    }
}
