using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Signals.Editing;

/// <summary>
/// Adds signals to definition files, as a person does with an editor: comments, order and layout stay. Each time the files are read
/// afresh, so that what was changed meanwhile is kept; what would not load, or would give rise to a new warning, is not written.
/// </summary>
/// <param name="files">The definition files in use; they are looked at together, since names of one stand in another.</param>
/// <param name="write">Writes a whole text file or nothing: its path, then its text.</param>
public sealed class SignalAddition(IReadOnlyList<string> files, Action<string, string> write)
{
    private const int Attempts = 3;

    /// <summary>The definition files in use.</summary>
    public IReadOnlyList<string> Files => files;

    /// <summary>Adds a signal.</summary>
    /// <returns>Why it was not added, as a sentence; null where it was.</returns>
    public string? Add(NewSignal wanted)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        if (!Literal.IsName(wanted.Signal.Name, inExpressions: true) || !Literal.IsName(wanted.Message, inExpressions: true))
        {
            var name = Literal.IsName(wanted.Message, inExpressions: true) ? wanted.Signal.Name : wanted.Message;
            return name.Length == 0 ? "it has no name yet" : $"'{CleanText.Clean(name)}' cannot be a name: a letter, then letters, digits and _";
        }

        if (Directory.Exists(wanted.File) || !IsYaml(wanted.File))
        {
            return $"'{CleanText.Clean(wanted.File)}' cannot be a definition file: its name must end in .yaml";
        }

        for (var attempt = 0; attempt < Attempts; attempt++)
        {
            var before = Load(wanted.File);
            if (before.Definitions is null)
            {
                return Told(before.Diagnostics.First(fault => fault.Severity == Severity.Error), "the definitions have a fault, so nothing was written");
            }

            var (text, fault) = Changed(before, wanted);
            if (text is null)
            {
                return fault;
            }

            // An editor may have written the file while it was checked.
            if (Find(Load(wanted.File), wanted.File)?.Text == Find(before, wanted.File)?.Text)
            {
                return Write(wanted.File, text);
            }
        }

        return "the file is being written by somebody else; nothing was written";
    }

    private static bool IsYaml(string file) => Path.GetExtension(file).ToUpperInvariant() is ".YAML" or ".YML";

    private string? Write(string file, string text)
    {
        try
        {
            write(file, text);
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return CleanText.Clean(e.Message);
        }
    }

    private LoadResult Load(string file) =>
        DefinitionLoader.Load(File.Exists(file) && !files.Any(each => IsSame(each, file)) ? [.. files, file] : files);

    private static bool IsSame(string left, string right) => Path.GetFullPath(left) == Path.GetFullPath(right);

    private static SourceText? Find(LoadResult result, string file) => result.Sources.FirstOrDefault(source => IsSame(source.FileName, file));

    // The whole text with the signal in it, or why it cannot be.
    private static (string? Text, string? Fault) Changed(LoadResult before, NewSignal wanted)
    {
        var source = Find(before, wanted.File);
        var message = source is null ? null : MessageIn(before.Definitions!, source.FileName, wanted);
        if (message?.Signals.Any(signal => signal.Name == wanted.Signal.Name) == true)
        {
            return (null, $"{message.Name} has a signal {wanted.Signal.Name} already: give it another name");
        }

        var text = source is null ? SignalFile.Begin(before.Definitions!, wanted) : SignalFile.Add(source, before.Definitions!, message, wanted);
        if (text is null)
        {
            return (null, "the file is written in a way that nothing can be added to; name another file");
        }

        var changed = new SourceText(source?.FileName ?? wanted.File, text);
        var after = DefinitionLoader.LoadTexts(source is null ? [.. before.Sources, changed] : [.. before.Sources.Select(each => ReferenceEquals(each, source) ? changed : each)]);
        var known = before.Diagnostics.Select(fault => (fault.Code, fault.Message)).ToHashSet();
        var fresh = after.Diagnostics.Where(fault => fault.Severity > Severity.Note && !known.Contains((fault.Code, fault.Message))).MaxBy(fault => fault.Severity);
        return fresh is not null ? (null, Told(fresh, null))
            : IsRead(before.Definitions!, after.Definitions!, message?.Name ?? wanted.Message, wanted.Signal) ? (text, null)
            : (null, "the file would not say the same as before; name another file");
    }

    // By its identifier; by its name where it is defined as a parameter group.
    private static MessageDefinition? MessageIn(DefinitionSet set, string file, NewSignal wanted)
    {
        var own = set.Messages.Where(message => message.Place.File == file).ToList();
        return own.Find(message => message.Key == new MessageKey.Identifier(wanted.Id) && (message.Bus is null || message.Bus == wanted.Bus))
            ?? own.Find(message => message.Key is MessageKey.ParameterGroup && message.Name == wanted.Message);
    }

    // What was there must still be there, and what was added must be read as it was meant.
    private static bool IsRead(DefinitionSet before, DefinitionSet after, string message, SignalDefinition wanted) =>
        before.Messages.All(old => after.Messages.Any(now => now.Name == old.Name && now.Key == old.Key && now.Signals.Count == old.Signals.Count + (old.Name == message ? 1 : 0)))
        && after.Messages.FirstOrDefault(each => each.Name == message)?.Signals.FirstOrDefault(signal => signal.Name == wanted.Name) is { } read
        && read.Field.LeastSignificant == wanted.Field.LeastSignificant && read.Field.MostSignificant == wanted.Field.MostSignificant && read.Field.Length == wanted.Field.Length
        && read.Encoding == wanted.Encoding && read.Scale == wanted.Scale && read.Offset == wanted.Offset && read.Unit == wanted.Unit
        && read is { NotAvailable: [], Error: [], Reserved: [] };

    private static string Told(Diagnostic fault, string? why) => why is null
        ? CleanText.Clean(fault.Message)
        : CleanText.Clean($"{why}: {fault.Place.File}:{fault.Place.Line}: {fault.Message}");
}
