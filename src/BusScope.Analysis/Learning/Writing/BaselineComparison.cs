using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>What a definition file says otherwise than the captures.</summary>
internal static class BaselineComparison
{
    /// <summary>A period that differs by no more than this is the same one.</summary>
    private const double PeriodError = 0.1;

    /// <summary>In so many frames a counter or checksum would have been found.</summary>
    private const int EnoughFrames = 200;

    /// <summary>All differences, in the order of the baseline; then what the captures never showed.</summary>
    public static IReadOnlyList<BaselineDifference> Run(Baseline baseline, DefinitionSet known, IReadOnlyDictionary<LearnedMessage, MessageDefinition> matches)
    {
        var differences = baseline.Messages.Where(matches.ContainsKey).SelectMany(message => Compare(message, matches[message])).Distinct().ToList();
        var seen = matches.Values.ToHashSet();
        var buses = baseline.Buses;
        differences.AddRange(known.Messages
            .Where(message => message.Key is MessageKey.Identifier && !seen.Contains(message) && (message.Bus is null || buses.Contains(message.Bus)))
            .Select(message => new BaselineDifference(message.Name, "id", ((MessageKey.Identifier)message.Key).Id.ToString(), "not in the captures")));
        return differences;
    }

    private static IEnumerable<BaselineDifference> Compare(LearnedMessage learned, MessageDefinition file)
    {
        if (file.Length is { } length && (length != learned.Length || learned.OtherLengths > 0))
        {
            yield return new BaselineDifference(file.Name, "length", $"{length}", learned.OtherLengths > 0 ? "varies" : $"{learned.Length}");
        }

        if (file.Timing.Every is { } every && learned.Timing.Period is var period && (period is not { } measured || Math.Abs((measured.Milliseconds / every.Milliseconds) - 1) > PeriodError))
        {
            yield return new BaselineDifference(file.Name, "every", $"{every}", period is { } known ? $"{known}" : "no period");
        }

        if (file.Timing.Every is not null && file.While is null && learned.Attendance is { IsWhole: false })
        {
            yield return new BaselineDifference(file.Name, "while", "always", "there only for a part of the time");
        }

        if (file.Counter is { } counter && (learned.Counter is { } found ? !IsSame(counter, found.Definition) : learned.Frames >= EnoughFrames))
        {
            yield return new BaselineDifference(file.Name, "counter", FieldText.Of(counter), learned.Counter is { } other ? FieldText.Of(other.Definition) : "not found");
        }

        if (file.Checksum is { } checksum && (learned.Checksum?.Definition is { } sum ? !IsSame(checksum, sum) : learned.Frames >= EnoughFrames))
        {
            yield return new BaselineDifference(file.Name, "checksum", $"{SignalText.Place(checksum.Field)}, {checksum.Algorithm}", learned.Checksum?.Definition is { } other ? FieldText.Of(other, learned.Length) : "not found");
        }

        if (file.Constant is { } constant && learned.Frames >= EnoughFrames && !constant.IsPartOf(learned.Constant))
        {
            yield return new BaselineDifference(file.Name, "constant", constant.ToString(), learned.Constant?.ToString() ?? "all changed");
        }
    }

    private static bool IsSame(CounterDefinition a, CounterDefinition b) =>
        IsSame(a.Field, b.Field) && a.Modulo == b.Modulo && (a.Step - b.Step) % a.Modulo == 0;

    // A profile of the file and the plain CRC that was found are the same check if they stand at the same place.
    private static bool IsSame(ChecksumDefinition a, ChecksumDefinition b) =>
        IsSame(a.Field, b.Field) && (a.Family >= ChecksumFamily.E2EProfile1 || (a.Family == b.Family && (a.Crc, b.Crc) switch
        {
            ({ } left, { } right) => (left.Polynomial, left.Reflected) == (right.Polynomial, right.Reflected),
            _ => (a.Start, a.Final) == (b.Start, b.Final),
        }));

    private static bool IsSame(BitField a, BitField b) =>
        a.LeastSignificant == b.LeastSignificant && a.MostSignificant == b.MostSignificant && a.Length == b.Length;
}
