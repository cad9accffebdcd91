using BusScope.Signals.Editing;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What a key does outside of the screen, and what is said about it.</summary>
/// <param name="Say">Tells the person something for a few seconds.</param>
/// <param name="SetMark">Sets a mark with a note, which may be empty.</param>
/// <param name="TakePicture">Writes what stands on the screen into a file: as a drawing, or as text.</param>
/// <param name="Remember">Keeps watch list, trace and units for the next time.</param>
/// <param name="Additions">Adds signals to definition files; null where nothing can be written.</param>
internal sealed record Hands(Action<string, Ink> Say, Action<string> SetMark, Action<bool> TakePicture, Action Remember, SignalAddition? Additions);
