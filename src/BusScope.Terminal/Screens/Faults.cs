using BusScope.Health;
using BusScope.Health.Findings;

namespace BusScope.Terminal.Screens;

/// <summary>What a report holds against modules and messages that a state alone does not tell.</summary>
internal static class Faults
{
    /// <summary>The finding that starves a module although its messages come, or null.</summary>
    public static Finding? Starving(HealthReport health, ModuleHealth module)
    {
        foreach (var finding in health.Findings)
        {
            if (finding.Severity == FindingSeverity.Fault && ScreenModel.Contains(finding.Modules, module.Definition.Name))
            {
                return finding;
            }
        }

        return null;
    }

    /// <summary>How many messages that a module lives on are fresh and nevertheless at fault.</summary>
    public static int FreshWithFault(HealthReport health, ModuleHealth module)
    {
        var (count, last) = (0, -1);
        foreach (var message in health.Messages)
        {
            // The senders of one message stand one after another.
            if (message is { State: MessageState.Fresh, Worst: FindingSeverity.Fault } && message.DefinitionIndex != last && ScreenModel.Needs(module, message))
            {
                (count, last) = (count + 1, message.DefinitionIndex);
            }
        }

        return count;
    }

    /// <summary>Whether a message does not come when it is meant to: late or stale now, or found to keep another period.</summary>
    public static bool IsOffTime(HealthReport health, MessageHealth message)
    {
        if (message is { State: MessageState.Late or MessageState.Stale, BusIsSilent: false })
        {
            return true;
        }

        if (message.Worst is null)
        {
            return false;
        }

        foreach (var finding in health.Findings)
        {
            if (finding.Code is FindingCodes.MessageTooSlow or FindingCodes.MessageTooFast or FindingCodes.MessageLate or FindingCodes.MessageJitters
                or FindingCodes.PeriodDiffers or FindingCodes.ExtraFrames or FindingCodes.TwoSenders && finding.IsAbout(message))
            {
                return true;
            }
        }

        return false;
    }
}
