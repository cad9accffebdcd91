using System.Globalization;
using BusScope.Health;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What keys do to the field that is being defined: begin it, set what belongs to it, write it into its file.</summary>
/// <param name="desk">Where the pages lie.</param>
internal sealed class FieldKeys(Desk desk)
{
    private const int LongestName = 60, LongestUnit = 20, LongestNumber = 24, LongestFile = 200;

    private const string NewFile = "new-signals.yaml";

    private Choice Choice => desk.Choice;

    /// <summary>Begins a field at the cursor; one that is being defined begins anew there, and keeps what was set.</summary>
    public void Begin(MessageHealth message)
    {
        if (Choice.Field is { } begun)
        {
            begun.BeginAt(Choice.Bit);
            return;
        }

        if (message.Id is not { } id)
        {
            desk.Hands.Say("no frame of it came yet, so that its identifier is not known", Ink.Note);
            return;
        }

        var key = MessageKey.Of(message);
        var own = message.Definition is { } definition ? FileOf(definition) : null;
        var written = Choice.NewFiles.GetValueOrDefault(key);
        Choice.Field = new FieldDraft(key, id, Choice.Bit)
        {
            MessageName = desk.Model.PlanOf(message)?.Definition.Name ?? NameFor(message.Bus, id.ToString()[2..]),
            HasMessage = own is not null || written is not null,
            File = own ?? written ?? Choice.NewFiles.Values.LastOrDefault() ?? Beside(),
        };
        Choice.Field.Offer(hasFile: own is not null || written is not null);
    }

    /// <summary>Changes the chosen setting: those with two sides turn, the others are typed.</summary>
    public void Change(FieldDraft draft)
    {
        switch (draft.Chosen)
        {
            case FieldSetting.Order:
                draft.TurnOrder();
                Choice.Bit = draft.End;
                break;
            case FieldSetting.Sign: draft.IsSigned = !draft.IsSigned; break;
            case FieldSetting.Scale: Ask("scale: ", LongestNumber, Number(draft.Scale), typed => Take(typed, isScale: true, value => draft.Scale = value)); break;
            case FieldSetting.Offset: Ask("offset: ", LongestNumber, Number(draft.Offset), typed => Take(typed, isScale: false, value => draft.Offset = value)); break;
            case FieldSetting.Unit: Ask("unit: ", LongestUnit, draft.Unit, typed => Take(() => draft.Unit = typed)); break;
            case FieldSetting.Name: AskName(draft, null); break;
            case FieldSetting.Message: Ask("name of the message: ", LongestName, draft.MessageName, typed => Name(typed) ?? Take(() => draft.MessageName = typed)); break;
            default: Ask("definition file: ", LongestFile, draft.File, typed => typed.Length == 0 ? "a file needs a name" : Take(() => draft.File = typed)); break;
        }
    }

    /// <summary>Writes the field into its file; asks for its name before, where it has none.</summary>
    public void Write(FieldDraft draft, MessageHealth message)
    {
        if (draft.Name.Length == 0)
        {
            AskName(draft, () => Write(draft, message));
            return;
        }

        if (desk.Hands.Additions is not { } additions)
        {
            draft.Fault = "nothing can be written here";
            return;
        }

        var signal = new NewSignal(draft.File, draft.MessageName, draft.Signal) { Id = message.Id ?? default, Bus = message.Bus };
        draft.Fault = additions.Add(signal);
        if (draft.Fault is null)
        {
            desk.Read(signal, message);
            Choice.NewFiles[draft.Message] = draft.File;
            Choice.Field = null;
            desk.Hands.Say($"{draft.Name} is read from now on; it stands in {draft.File}", Ink.Note);
        }
    }

    private void AskName(FieldDraft draft, Action? then) => Ask("name of the signal: ", LongestName, draft.Name, typed =>
    {
        if (Name(typed) is { } wrong)
        {
            return wrong;
        }

        draft.Name = typed;
        then?.Invoke();
        return null;
    });

    private void Ask(string label, int longest, string text, Func<string, string?> accept) => Choice.Entry = new Entry(label, longest, accept) { Text = text };

    private static string? Name(string typed) => Literal.IsName(typed, inExpressions: true) ? null : "a letter, then letters, digits, _";

    private static string? Take(string typed, bool isScale, Action<double> set)
    {
        if (!Literal.TryNumber(typed, out var value))
        {
            return typed.Contains(',', StringComparison.Ordinal) ? "a number with a point" : "a number, such as 0.25";
        }

        if (isScale && value == 0)
        {
            return "not 0: every value would be the same";
        }

        set(value);
        return null;
    }

    private static string? Take(Action set)
    {
        set();
        return null;
    }

    private static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    // The file of a definition, where it is one of those that can be written; the program's own are none.
    private string? FileOf(MessageDefinition definition) => desk.Hands.Additions?.Files.FirstOrDefault(file => file == definition.Place.File);

    private string Beside() => desk.Hands.Additions?.Files is [var first, ..] && Path.GetDirectoryName(first) is { Length: > 0 } folder ? Path.Combine(folder, NewFile) : NewFile;

    // As learning names messages that nobody has named yet.
    private static string NameFor(string bus, string id)
    {
        var plain = new string([.. bus.Select(c => char.IsLetter(c) || char.IsAsciiDigit(c) ? c : '_')]);
        return $"{(plain.Length > 0 && char.IsLetter(plain[0]) ? plain : "bus" + plain)}_{id}";
    }
}
