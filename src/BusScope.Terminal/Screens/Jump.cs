using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;

namespace BusScope.Terminal.Screens;

/// <summary>From a line to what it is about.</summary>
internal static class Jump
{
    /// <summary>Goes to the message, the module or the bus of an event.</summary>
    /// <returns>Whether it is about any that is there.</returns>
    public static bool To(Choice choice, ScreenModel model, SessionEvent happened)
    {
        foreach (var message in model.Health.Messages)
        {
            var isMeant = happened.DefinitionIndex >= 0
                ? message.DefinitionIndex == happened.DefinitionIndex
                : happened.Id is not null && message.Definition is null && message.Id == happened.Id && message.Bus == happened.Bus;
            if (isMeant)
            {
                To(choice, model, message);
                return true;
            }
        }

        if (happened.Module is { } module)
        {
            (choice.Page, choice.Part, choice.Filter) = (Page.Home, Part.Modules, "");
            (choice.Module, choice.HasModule, choice.Message) = (module, true, null);
            return true;
        }

        if (happened.Bus is not null)
        {
            (choice.Page, choice.Filter) = (Page.Buses, "");
            choice.Scroll[3] = 0;
            return true;
        }

        return false;
    }

    /// <summary>Opens the page of a message. A field that is being defined in another one is given up.</summary>
    public static void Open(Choice choice, MessageHealth message)
    {
        var key = MessageKey.Of(message);
        choice.Field = choice.Field?.Message == key ? choice.Field : null;
        choice.Bit = choice.Message == key ? choice.Bit : new BitPosition(0, 7);
        (choice.BeforeMessage, choice.Page, choice.Message) = (choice.Page, Page.Message, key);
        choice.Scroll[2] = 0;
    }

    /// <summary>Goes to the message of a signal.</summary>
    public static void To(Choice choice, ScreenModel model, SignalKey signal)
    {
        foreach (var message in model.Health.Messages)
        {
            if (model.IndexOf(message) == signal.Message)
            {
                To(choice, model, message);
                return;
            }
        }
    }

    /// <summary>Goes to a message on the home screen: under the chosen module where that needs it, else under one that does, else among all.</summary>
    public static void To(Choice choice, ScreenModel model, MessageHealth message)
    {
        (choice.Page, choice.Part, choice.Filter) = (Page.Home, Part.Messages, "");
        choice.Message = MessageKey.Of(message);
        choice.HasModule = true;
        var neededBy = message.Definition?.NeededBy ?? [];
        if (choice.Module is not { } chosen || !ScreenModel.Contains(neededBy, chosen))
        {
            choice.Module = null;
            foreach (var module in model.Health.Modules)
            {
                choice.Module ??= ScreenModel.Contains(neededBy, module.Definition.Name) ? module.Definition.Name : null;
            }
        }
    }
}
