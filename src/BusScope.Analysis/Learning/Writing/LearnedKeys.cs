using System.Globalization;
using BusScope.Analysis.Learning.Conditions;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;
using BusScope.Signals.Editing;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>A key of a message in a definition file, with what it was measured from.</summary>
/// <param name="Key">The key; empty for a line that is only a comment.</param>
/// <param name="Value">Its value as YAML.</param>
/// <param name="Comment">What was measured, or null.</param>
internal readonly record struct LearnedKey(string Key, string Value, string? Comment)
{
    /// <summary>A line that is only a comment.</summary>
    public static LearnedKey Remark(string comment) => new("", "", comment);

    /// <summary>The line without its indentation.</summary>
    public override string ToString() => Key.Length == 0 ? $"# {Comment}" : $"{Key}: {Value}{(Comment is null ? "" : $"   # {Comment}")}";
}

/// <summary>What was learned of one message as keys of a definition file, in the order in which a person reads them.</summary>
internal static class LearnedKeys
{
    private const double SurelyBits = 60;

    // So many gaps have no 5 % at either end.
    private const int FewGaps = 8;

    private const string AsUsual = "as usual: the file has another default";

    /// <summary>The keys that say which message it is.</summary>
    public static IEnumerable<LearnedKey> Identity(LearnedMessage message, BaselineNames names)
    {
        yield return new LearnedKey("id", message.Id.ToString(), null);
        if (message.Id.IsExtended)
        {
            yield return new LearnedKey("extended", "true", null);
        }

        yield return new LearnedKey("bus", YamlScalar.BusName(message.Bus), null);
        yield return new LearnedKey("needed-by", $"[{names.Listeners(message.Bus)}]", null);
    }

    /// <summary>The keys that say what is expected of it.</summary>
    public static IEnumerable<LearnedKey> Expectations(LearnedMessage message, BaselineNames names) =>
        [Length(message), .. Timing(message, names), .. Counter(message), .. Checksum(message), .. Lives(message), .. Constant(message), .. Content(message)];

    /// <summary>A signal that a condition reads.</summary>
    public static LearnedKey Signal(SwitchBit bit) => new(BaselineNames.Signal(bit), $"{{ byte: {bit.Byte}, bits: {bit.Bit} }}", null);

    /// <summary>A computed signal that a condition becomes.</summary>
    /// <param name="condition">The condition.</param>
    /// <param name="name">Its name.</param>
    /// <param name="signalOf">How the file names the signal of a bit, message and all.</param>
    public static LearnedKey Computed(LearnedCondition condition, string name, Func<SwitchBit, string> signalOf)
    {
        var doubt = condition.Bits.Count == 1 ? "" : $"; which bit is the cause was not to be seen, so {(condition.WasSeenToChange ? "all but one" : "all")} must say so: keep the right one";
        var changes = condition.WasSeenToChange ? $"it changed {Times(condition.Turns)} in the captures" : "it differs between the captures, and changed in none: record it changing";
        return new LearnedKey(name, $"{{ expression: \"{Expression(condition, signalOf)}\" }}", Invariant($"{condition.Messages} messages come and go with it; {changes}{doubt}"));
    }

    /// <summary>How a condition is computed.</summary>
    /// <param name="condition">The condition.</param>
    /// <param name="signalOf">How the file names the signal of a bit, message and all.</param>
    public static string Expression(LearnedCondition condition, Func<SwitchBit, string> signalOf)
    {
        var parts = condition.Bits.Select(bit => $"{signalOf(bit)} == {(bit.IsSet ? 1 : 0)}").ToList();
        return parts.Count == 1 ? parts[0] : Invariant($"{string.Join(" + ", parts.Select(part => $"({part})"))} >= {condition.Demanded}");
    }

    private static LearnedKey Length(LearnedMessage message) => message.OtherLengths == 0
        ? new LearnedKey("length", Invariant($"{message.Length}"), null)
        : LearnedKey.Remark(Invariant($"length: {message.Length} in most frames; another one in {message.OtherLengths} of {message.Frames}"));

    private static IEnumerable<LearnedKey> Timing(LearnedMessage message, BaselineNames names)
    {
        var timing = message.Timing;
        if (timing.Period is not { } period)
        {
            yield return new LearnedKey("on-change", "true", $"no period: {Evidence(message)}");
            yield break;
        }

        if (!message.IsExpected)
        {
            yield return LearnedKey.Remark($"every: {Duration(period)}, but only for a part of the time, and no bit was found that says when; {Evidence(message)}");
            yield return new LearnedKey("on-change", "true", "write 'every' and 'while' once you know on what it depends");
            yield break;
        }

        yield return new LearnedKey("every", Duration(period), Evidence(message));
        if (timing.Group > 1)
        {
            yield return new LearnedKey("on-change", "true", Invariant($"{timing.Group} frames in each period: a group, or two senders"));
        }
        else if (timing.Kind == SendingKind.Mixed)
        {
            yield return new LearnedKey("on-change", "true", "and in between");
        }

        if (timing.IsLateWidened || timing.IsBesideDefaults)
        {
            yield return new LearnedKey("late-after", Duration(timing.LateAfter), timing.IsLateWidened ? "wider than usual, for the measured spread" : AsUsual);
        }

        if (timing.IsStaleWidened || timing.IsBesideDefaults)
        {
            yield return new LearnedKey("stale-after", Duration(timing.StaleAfter), !timing.IsStaleWidened ? AsUsual : timing.Delay > FrameSpan.Zero
                ? $"with room for the {timing.Delay} after which its condition is told"
                : "wider than usual, for the longest gap");
        }

        if (message.Condition is { } condition)
        {
            yield return new LearnedKey("while", names.Condition(condition), null);
        }
    }

    private static IEnumerable<LearnedKey> Counter(LearnedMessage message)
    {
        if (message.Counter is { } counter)
        {
            var text = FieldText.Of(counter.Definition);
            var evidence = Invariant($"{counter.Matches} of {counter.Pairs} pairs of frames");
            yield return counter.IsReversed ? LearnedKey.Remark($"counter: {{ {text} }}, its bits in reverse, in {evidence}: a definition file cannot say so, not demanded")
                : counter.IsDemanded ? new LearnedKey("counter", $"{{ {text} }}", evidence)
                : counter is { Holds: true, MayBeSelector: true } ? LearnedKey.Remark($"counter: {{ {text} }} in {evidence}, but it may select what stands in the rest: not demanded")
                : counter.Holds ? LearnedKey.Remark($"counter: {{ {text} }} in {evidence}, but it may be a quantity that grows evenly: not demanded")
                : LearnedKey.Remark($"counter: {{ {text} }}, but only in {evidence}: too many breaks to demand it");
        }

        foreach (var further in message.FurtherCounters)
        {
            yield return LearnedKey.Remark($"counts as well: {FieldText.Of(further.Definition)}{(further.IsReversed ? ", its bits in reverse" : "")}");
        }
    }

    private static IEnumerable<LearnedKey> Checksum(LearnedMessage message)
    {
        if (message.Checksum is { Definition: { } checksum } found)
        {
            var sure = found.EvidenceBits >= SurelyBits ? "chance is ruled out" : Invariant($"by chance once in 2^{found.EvidenceBits:0}");
            yield return new LearnedKey("checksum", $"{{ {FieldText.Of(checksum, message.Length)} }}", Invariant($"{found.Matches} of {found.Payloads} payloads; {sure}"));
        }
        else if (message.Checksum is { Rivals: { Count: > 0 } rivals })
        {
            yield return LearnedKey.Remark($"no checksum is claimed, since several forms fit alike: {string.Join(" or ", rivals.Select(rival => $"{{ {FieldText.Of(rival, message.Length)} }}"))}");
        }
        else if (message.Checksum is { Suspect: { } suspect })
        {
            yield return LearnedKey.Remark(Invariant($"{SignalText.Place(suspect)} may be protection of a form that was not identified"));
        }
    }

    private static IEnumerable<LearnedKey> Lives(LearnedMessage message)
    {
        if (message.IsExpected && message.Lives.Length > 0)
        {
            yield return new LearnedKey("lives", Bytes(message.Lives.ToArray()), Invariant($"one of these bits at least changed in each of {message.LivesSeen} times {LifeStudy.Stretch} frames"));
        }
    }

    private static IEnumerable<LearnedKey> Constant(LearnedMessage message)
    {
        if (message.Constant is { } constant)
        {
            yield return new LearnedKey("constant", constant.ToString(), Invariant($"never changed in {message.Frames} frames; a hint, no fault where it differs"));
        }
    }

    private static IEnumerable<LearnedKey> Content(LearnedMessage message)
    {
        if (message.Selector is { } selector)
        {
            yield return LearnedKey.Remark($"multiplexed: {SignalText.Place(selector.Field)} selects the layout; seen: {Ranges(selector.Values)}");
        }

        foreach (var copy in message.Copies)
        {
            yield return LearnedKey.Remark(Invariant($"byte {copy.Byte} is a copy of byte {copy.Of}{(copy.IsInverted ? ", its bits inverted" : "")}"));
        }

        if (message.Length > 0)
        {
            var bits = message.ChangedBits.ToArray();
            yield return LearnedKey.Remark(Array.TrueForAll(bits, b => b == 0)
                ? "no bit ever changed"
                : $"bits that changed: {Bytes(bits)}");
        }
    }

    private static string Bytes(byte[] bytes) => string.Join(' ', bytes.Select(b => b.ToString("X2", CultureInfo.InvariantCulture)));

    private static string Evidence(LearnedMessage message)
    {
        if (message.Timing.Measured is not { } measured)
        {
            return message.Frames == 1 ? "one frame" : Invariant($"{message.Frames} frames");
        }

        return measured.Count < FewGaps ? Invariant($"median of {(measured.Count == 1 ? "one gap" : $"{measured.Count} gaps")} {measured.Median}, longest {measured.Longest}")
            : Invariant($"median {measured.Median}, 90 % of {measured.Count} gaps {measured.P05} to {measured.P95}, longest {measured.Longest}");
    }

    private static string Ranges(IReadOnlyList<int> values)
    {
        var texts = new List<string>();
        for (var i = 0; i < values.Count; i++)
        {
            var from = i;
            while (i + 1 < values.Count && values[i + 1] == values[i] + 1)
            {
                i++;
            }

            texts.Add(i > from ? $"{FieldText.Hex((ulong)values[from], 1)}..{FieldText.Hex((ulong)values[i], 1)}" : FieldText.Hex((ulong)values[i], 1));
        }

        return string.Join(", ", texts);
    }

    private static string Times(int count) => count switch { 1 => "once", 2 => "twice", _ => Invariant($"{count} times") };

    private static string Duration(FrameSpan span) => span.Nanoseconds % FrameSpan.NanosecondsPerSecond == 0
        ? Invariant($"{span.Seconds} s")
        : Invariant($"{span.Milliseconds} ms");

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
