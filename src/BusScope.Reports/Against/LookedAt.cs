using BusScope.Health;
using BusScope.Health.Findings;
using BusScope.Signals.Definitions;

namespace BusScope.Reports.Against;

/// <summary>Whether a check looked at what an earlier one found: only then is what it did not find again gone.</summary>
internal static class LookedAt
{
    /// <summary>Whether it did.</summary>
    /// <param name="finding">What the earlier check found.</param>
    /// <param name="report">This check.</param>
    public static bool In(FindingSubject finding, HealthReport report) =>
        finding.Message is { } name ? report.Messages.Any(message => message.Name() == name && Tells(message, finding))
        : finding.Bus is { } bus ? report.Buses.Any(each => each.Name == bus && each.Frames > 0)
        : finding.Module is not { } module || report.Modules.Any(each => each.Definition.Name == module);

    // What never came, though it should have, was looked for.
    private static bool Tells(MessageHealth message, FindingSubject finding) =>
        (message.Frames > 0 || message.State is MessageState.Missing or MessageState.Stale) && (message.Definition is not { } definition || Asks(definition, finding));

    private static bool Asks(MessageDefinition definition, FindingSubject finding) => finding.Code switch
    {
        FindingCodes.CounterRepeated or FindingCodes.CounterSkipped => definition.Counter is not null,
        FindingCodes.ChecksumWrong => definition.Checksum is not null,
        FindingCodes.WrongLength => definition.Length is not null,
        FindingCodes.PayloadStuck => definition.Lives.Length > 0,
        FindingCodes.PayloadDiffers => definition.Constant is not null,
        FindingCodes.MessageMissing or FindingCodes.MessageStopped or FindingCodes.MessageStale or FindingCodes.MessageLate
            or FindingCodes.MessageTooSlow or FindingCodes.MessageTooFast or FindingCodes.MessageJitters => definition.Timing is not { Every: null, StaleAfter: null },
        _ => finding.Signal is not { } signal || definition.Signals.Any(each => each.Name == signal),
    };
}
