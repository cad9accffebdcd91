namespace BusScope.Signals.Loading;

/// <summary>Every key of the definition file, by the mapping in which it stands.</summary>
public static class DefinitionKeys
{
    private static readonly DefinitionKey[] position =
    [
        new("bytes", "byte range", "Whole bytes, first and last"),
        new("byte", "whole number", "The one byte it stands in"),
        new("bits", "bit range", "With byte: the bits of it, lowest and highest; without: the whole byte"),
        new("lsb", "bit position", "The least significant bit as byte.bit"),
        new("msb", "bit position", "The most significant bit as byte.bit"),
        new("length", "whole number", "With lsb or msb: how many bits"),
        new("order", "big or little", "The byte order, if not the default"),
    ];

    /// <summary>The file itself.</summary>
    public static KeyTable File { get; } = new("file",
    [
        new("busscope", "whole number", "The format version, 1", IsNeeded: true),
        new("title", "text", "What the file describes"),
        new("defaults", "mapping", "What signals have that do not say otherwise"),
        new("buses", "mapping by name", "The buses of the car"),
        new("modules", "mapping by name", "The control units of the car"),
        new("messages", "mapping by name", "The messages"),
        new("computed", "mapping by name", "Signals computed from others"),
        new("sequences", "mapping by name", "Events that must follow one another"),
        new("relays", "mapping by name", "Values carried from one bus to another"),
    ]);

    /// <summary><c>defaults</c>.</summary>
    public static KeyTable Defaults { get; } = new("defaults",
    [
        new("order", "big or little", "The byte order of fields that name none"),
        new("raw-ranges", "j1939 or none", "The special raw values of signals that name none"),
        new("late-after", "duration", "When a message that says nothing of it is late"),
        new("stale-after", "duration", "When a message that says nothing of it is stale"),
    ]);

    /// <summary>A bus.</summary>
    public static KeyTable Bus { get; } = new("bus",
    [
        new("title", "text", "A title for a person"),
        new("bitrate", "bit rate", "Of the arbitration phase"),
        new("data-bitrate", "bit rate", "Of the CAN FD data phase"),
    ]);

    /// <summary>A module.</summary>
    public static KeyTable Module { get; } = new("module",
    [
        new("title", "text", "A title for a person"),
        new("alive", "message name", "Its own message that proves that it runs"),
    ]);

    /// <summary>A message.</summary>
    public static KeyTable Message { get; } = new("message",
    [
        new("id", "whole number", "The identifier; or pgn"),
        new("extended", "true or false", "Whether the identifier has 29 bits"),
        new("pgn", "whole number", "The J1939 parameter group; or id"),
        new("source", "whole number", "With pgn: the source address, if only one counts"),
        new("bus", "bus name", "The bus it is sent on"),
        new("from", "module name", "The module that sends it"),
        new("needed-by", "list of module names", "The modules that live on it"),
        new("length", "whole number", "The payload length in bytes"),
        new("every", "duration", "The nominal period"),
        new("on-change", "true or false", "Whether it is sent when something changes"),
        new("late-after", "duration", "Silence beyond this is late"),
        new("stale-after", "duration", "Silence beyond this is stale"),
        new("while", "expression", "The expectation holds only while this is true"),
        new("counter", "mapping", "Its alive counter"),
        new("checksum", "mapping", "Its checksum"),
        new("lives", "payload", "The bits of which one at least changes all the time in a healthy car, set to 1"),
        new("constant", "payload with open digits", "What never changes in a healthy car, with a hyphen for each digit that may be anything"),
        new("signals", "mapping by name", "Its signals"),
        new("examples", "list", "Frames with the values that they must give"),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>A counter.</summary>
    public static KeyTable Counter { get; } = new("counter",
    [
        .. position,
        new("step", "whole number", "What is added from frame to frame, 1 if not said otherwise"),
        new("modulo", "whole number", "Values run from 0 to one below it"),
    ]);

    /// <summary>A checksum.</summary>
    public static KeyTable Checksum { get; } = new("checksum",
    [
        .. position,
        new("algorithm", "algorithm name", "How it is computed; or polynomial"),
        new("over", "byte ranges", "The bytes it covers, in order; all others than its own if not said otherwise"),
        new("polynomial", "whole number", "An own CRC: without the highest term"),
        new("width", "whole number", "An own CRC: bits of the register, the field's length if not said otherwise"),
        new("start", "whole number", "The register before the first byte; for a sum: added to it"),
        new("final", "whole number", "Exclusive-or'ed onto the result"),
        new("reflected", "true or false", "An own CRC: least significant bit first"),
        new("data-id", "whole number", "A number that the sender takes in and does not send"),
        new("data-ids", "list of whole numbers", "Sixteen of them, one for each counter value"),
        new("data-id-bytes", "whole number", "How many bytes of it a plain CRC takes in, 1 if not said otherwise"),
        new("data-id-first", "true or false", "Whether a plain CRC takes it before the payload"),
        new("data-id-mode", "both, alternating, low or nibble", "How AUTOSAR E2E profile 1 takes it in"),
    ]);

    /// <summary>A signal.</summary>
    public static KeyTable Signal { get; } = new("signal",
    [
        .. position,
        new("signed", "true or false", "Whether the number is in two's complement"),
        new("type", "unsigned, signed, float, text or bcd", "How the bits are read"),
        new("scale", "number", "Physical value = raw value × scale + offset"),
        new("offset", "number", "Physical value = raw value × scale + offset"),
        new("unit", "text", "The unit of the physical value"),
        new("range", "number range", "The physical values that make sense"),
        new("not-available", "raw values", "By which the sender says that it has no valid value"),
        new("error", "raw values", "By which the sender says that its sensor is at fault"),
        new("reserved", "raw values", "That are neither valid nor one of the two"),
        new("raw-ranges", "j1939 or none", "All three by the standard's table"),
        new("values", "mapping of raw values to names", "Names of raw values"),
        new("when", "mapping of signals to raw values", "The signal is there only while these signals have these raw values"),
        new("role", "text", "What it is, a path of the Vehicle Signal Specification"),
        new("lives", "true or false", "Whether it is meant to move: reported as stuck if it does not"),
        new("max-rate", "number", "The fastest plausible change in units a second"),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>An example.</summary>
    public static KeyTable Example { get; } = new("example",
    [
        new("frame", "payload", "The payload as pairs of hexadecimal digits", IsNeeded: true),
        new("gives", "mapping of signals to values", "What signals must read", IsNeeded: true),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>A computed signal.</summary>
    public static KeyTable Computed { get; } = new("computed signal",
    [
        new("expression", "expression", "How it is computed", IsNeeded: true),
        new("unit", "text", "The unit of its value"),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>A sequence.</summary>
    public static KeyTable Sequence { get; } = new("sequence",
    [
        new("begins", "expression", "It starts when this becomes true", IsNeeded: true),
        new("steps", "list", "What must become true, in order", IsNeeded: true),
        new("throughout", "list of expressions", "What must hold all the time"),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>A step of a sequence.</summary>
    public static KeyTable Step { get; } = new("step",
    [
        new("expect", "expression", "What must become true", IsNeeded: true),
        new("within", "duration", "Within which time after the step before", IsNeeded: true),
    ]);

    /// <summary>A relay.</summary>
    public static KeyTable Relay { get; } = new("relay",
    [
        new("from", "signal name", "The signal it comes from", IsNeeded: true),
        new("to", "signal name", "The signal it comes out at", IsNeeded: true),
        new("delay", "duration", "The longest delay allowed"),
        new("tolerance", "number", "The largest difference allowed, in units of the target"),
        new("note", "text", "A sentence for a person"),
    ]);

    /// <summary>All tables, in the order of the document.</summary>
    public static IReadOnlyList<KeyTable> All { get; } =
        [File, Defaults, Bus, Module, Message, Counter, Checksum, Signal, Example, Computed, Sequence, Step, Relay];
}
