using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading;

/// <summary>Every kind of fault that the loader and the example check can report, each declared once.</summary>
public static class Faults
{
    // First in the file: the declarations below enter themselves here, in order.
    private static readonly List<FaultKind> all = [];

    /// <summary>All kinds, in the order of docs/diagnostics.md.</summary>
    public static IReadOnlyList<FaultKind> All => all;

    // The file as such.
    internal static readonly FaultKind FileMissing = Error("file-missing", "There is no such file or folder");
    internal static readonly FaultKind FileUnreadable = Error("file-unreadable", "The file or folder cannot be read");
    internal static readonly FaultKind FolderEmpty = Error("folder-empty", "The folder has no definition file");
    internal static readonly FaultKind FileTooLarge = Error("file-too-large", "The file is larger than a definition file may be");
    internal static readonly FaultKind NotUtf8 = Error("not-utf8", "The file is not UTF-8 text");
    internal static readonly FaultKind FileEmpty = Error("file-empty", "The file defines nothing");

    // YAML.
    internal static readonly FaultKind YamlSyntax = Error("yaml-syntax", "The text is not YAML");
    internal static readonly FaultKind YamlTab = Error("yaml-tab", "A tab indents a line; YAML allows blanks only");
    internal static readonly FaultKind SeveralDocuments = Error("several-documents", "The file holds more than one YAML document");
    internal static readonly FaultKind NestingTooDeep = Error("nesting-too-deep", "Values are nested deeper than any definition needs");
    internal static readonly FaultKind AliasUnknown = Error("alias-unknown", "An alias names an anchor that is not complete above it");
    internal static readonly FaultKind AliasTooLarge = Error("alias-too-large", "Aliases repeat more values than a definition file may hold");
    internal static readonly FaultKind YamlTag = Error("yaml-tag", "A YAML tag; definition files have none");

    // Keys and values.
    internal static readonly FaultKind VersionWrong = Error("version-wrong", "The format version is missing or not one that this program reads");
    internal static readonly FaultKind UnknownKey = Error("unknown-key", "No such key here");
    internal static readonly FaultKind DuplicateKey = Error("duplicate-key", "The same key twice in one mapping");
    internal static readonly FaultKind MissingKey = Error("missing-key", "A key that is needed here is missing");
    internal static readonly FaultKind WrongType = Error("wrong-type", "A value of another kind than the key takes");
    internal static readonly FaultKind BadNumber = Error("bad-number", "Not a number of the form that the key takes");
    internal static readonly FaultKind OutOfBounds = Error("out-of-bounds", "A number outside what the key allows");
    internal static readonly FaultKind BadDuration = Error("bad-duration", "Not a length of time with its unit");
    internal static readonly FaultKind BadBitRate = Error("bad-bit-rate", "Not a bit rate with its unit");
    internal static readonly FaultKind UnknownWord = Error("unknown-word", "A word that is not among those the key takes");
    internal static readonly FaultKind RangeReversed = Error("range-reversed", "A range that ends before it begins");
    internal static readonly FaultKind BadName = Error("bad-name", "A name with characters that a name may not have");
    internal static readonly FaultKind BadText = Error("bad-text", "A text with control characters, or far too long");
    internal static readonly FaultKind KeysContradict = Error("keys-contradict", "Two keys that say different things about the same");

    // Identifiers.
    internal static readonly FaultKind IdentifierTooLarge = Error("identifier-too-large", "The number does not fit its identifier format");
    internal static readonly FaultKind IdentifierTwice = Error("identifier-twice", "Two messages with the same identifier on one bus");
    internal static readonly FaultKind GroupWithDestination = Error("group-with-destination", "A parameter group number with a destination in its low byte");

    // Positions.
    internal static readonly FaultKind PositionMissing = Error("position-missing", "A field that says nowhere where it stands");
    internal static readonly FaultKind PositionAmbiguous = Error("position-ambiguous", "A field whose place is given in two ways");
    internal static readonly FaultKind BadPosition = Error("bad-position", "Not a bit position of the form byte.bit");
    internal static readonly FaultKind OrderAssumed = Warning("order-assumed", "A field of several bytes and no byte order anywhere; big was assumed");
    internal static readonly FaultKind BeyondPayload = Error("beyond-payload", "A field that reaches outside the payload");
    internal static readonly FaultKind LengthImpossible = Error("length-impossible", "A payload or field length that cannot be");
    internal static readonly FaultKind SignalsOverlap = Warning("signals-overlap", "Two signals that share bits and can be present together");
    internal static readonly FaultKind ProtectionOverlap = Error("protection-overlap", "Counter and checksum share bits");
    internal static readonly FaultKind SignalOnProtection = Warning("signal-on-protection", "A signal shares bits with the counter or the checksum without being it");

    // Signals.
    internal static readonly FaultKind ScaleZero = Error("scale-zero", "A scale of 0 makes every value the same");
    internal static readonly FaultKind TypeMismatch = Error("type-mismatch", "A key that does not go with the signal's type");
    internal static readonly FaultKind RawTooLarge = Error("raw-too-large", "A raw value that the field cannot hold");
    internal static readonly FaultKind RawTwice = Error("raw-twice", "The same raw value named twice");
    internal static readonly FaultKind RawRangesUndefined = Warning("raw-ranges-undefined", "The standard defines no raw ranges for a field of this length");
    internal static readonly FaultKind RoleUnfamiliar = Note("role-unfamiliar", "A role that is not a path of the Vehicle Signal Specification");
    internal static readonly FaultKind SelectorUnknown = Error("selector-unknown", "A selector that is no signal of the message");
    internal static readonly FaultKind SelectorLoop = Error("selector-loop", "A signal that, in the end, selects itself");
    internal static readonly FaultKind SelectorType = Error("selector-type", "A selector that is not a whole number");

    // Timing, counter, checksum.
    internal static readonly FaultKind TimingReversed = Error("timing-reversed", "Times that stand in the wrong order: every, late-after, stale-after");
    internal static readonly FaultKind CounterImpossible = Error("counter-impossible", "A counter whose length, step and modulo do not go together");
    internal static readonly FaultKind UnknownAlgorithm = Error("unknown-algorithm", "No checksum algorithm of this name");
    internal static readonly FaultKind ChecksumWidth = Error("checksum-width", "A checksum field whose length is not that of the algorithm");
    internal static readonly FaultKind ChecksumCoversNothing = Error("checksum-covers-nothing", "A checksum over no byte");
    internal static readonly FaultKind ChecksumDataId = Error("checksum-data-id", "Data ids that do not go with the algorithm");
    internal static readonly FaultKind ChecksumLayout = Error("checksum-layout", "A profile whose layout is fixed and stands otherwise here");

    // References and expressions.
    internal static readonly FaultKind UnknownModule = Error("unknown-module", "No module of this name");
    internal static readonly FaultKind UnknownBus = Error("unknown-bus", "No bus of this name");
    internal static readonly FaultKind UnknownMessage = Error("unknown-message", "No message of this name");
    internal static readonly FaultKind UnknownSignal = Error("unknown-signal", "No signal of this name");
    internal static readonly FaultKind AmbiguousSignal = Error("ambiguous-signal", "A signal name that several messages have");
    internal static readonly FaultKind ExpressionFault = Error("expression-fault", "An expression that cannot be understood");
    internal static readonly FaultKind ComputedLoop = Error("computed-loop", "A computed signal that, in the end, is computed from itself");
    internal static readonly FaultKind NameClash = Error("name-clash", "The same name defined in two files, or as signal and computed signal");

    // Examples.
    internal static readonly FaultKind BadFrame = Error("bad-frame", "Not a payload as pairs of hexadecimal digits");
    internal static readonly FaultKind ExampleLength = Warning("example-length", "An example whose length is not the message's");
    internal static readonly FaultKind ExampleDiffers = Error("example-differs", "A signal of an example reads something else than it must give");
    internal static readonly FaultKind ExampleChecksum = Error("example-checksum", "The checksum of an example's frame is wrong");

    internal static readonly FaultKind TooManyFaults = Note("too-many-faults", "More faults than are listed");

    private static FaultKind Error(string code, string meaning) => Enter(new FaultKind(code, Severity.Error, meaning));

    private static FaultKind Warning(string code, string meaning) => Enter(new FaultKind(code, Severity.Warning, meaning));

    private static FaultKind Note(string code, string meaning) => Enter(new FaultKind(code, Severity.Note, meaning));

    private static FaultKind Enter(FaultKind kind)
    {
        all.Add(kind);
        return kind;
    }
}
