using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What the keys of the alarm do.</summary>
internal static class AlarmKeys
{
    /// <summary>Goes on from off to every NO-GO, to the chosen messages alone where there are any, and to off.</summary>
    public static void Next(Choice choice, Hands hands)
    {
        choice.Alarm = choice.Alarm switch
        {
            AlarmMode.Off => AlarmMode.AnyNoGo,
            AlarmMode.AnyNoGo when choice.Alarmed.Count > 0 => AlarmMode.ChosenMessages,
            _ => AlarmMode.Off,
        };
        hands.Say(choice.Alarm switch
        {
            AlarmMode.AnyNoGo when choice.Alarmed.Count > 0 => "alarm on every NO-GO, and on the messages chosen for it",
            AlarmMode.AnyNoGo => "alarm on every NO-GO; A on a message adds it",
            AlarmMode.ChosenMessages => "alarm on the messages chosen for it alone",
            _ => "alarm off",
        }, Ink.Note);
    }

    /// <summary>Chooses a message for the alarm, or no more.</summary>
    public static void OnThis(Choice choice, MessageHealth message, Hands hands)
    {
        var key = MessageKey.Of(message);
        if (!choice.Alarmed.Remove(key))
        {
            choice.Alarmed.Add(key);
            choice.Alarm = choice.Alarm == AlarmMode.Off ? AlarmMode.ChosenMessages : choice.Alarm;
        }
        else if (choice.Alarmed.Count == 0 && choice.Alarm == AlarmMode.ChosenMessages)
        {
            choice.Alarm = AlarmMode.Off;
        }

        var name = message.Definition?.Name ?? message.Id?.ToString() ?? "this message";
        hands.Say(choice.Alarmed.Contains(key) ? $"alarm when {name} stays away" : $"no alarm on {name}", Ink.Note);
    }
}
