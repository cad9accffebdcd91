using BusScope.Session.Readings;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>
/// What fills the screen between the strip of buses and the line of the time: what it paints, what keys do on it, and which of
/// them the bottom row shows. Used by the screen's thread alone.
/// </summary>
/// <param name="desk">Where the pages lie.</param>
internal abstract class ScreenPage(Desk desk)
{
    /// <summary>Which page it is.</summary>
    public abstract Page Kind { get; }

    /// <summary>The keys that the bottom row shows, in their order.</summary>
    public abstract IReadOnlyList<KeyHint> Hints { get; }

    /// <summary>Whether a filter keeps some of its lines; where not, typing one goes to the home screen.</summary>
    public virtual bool HasFilter => true;

    /// <summary>Rows that the keys for pages move by; told by the latest painting.</summary>
    public int PageRows { get; protected set; } = 10;

    /// <summary>The signals whose readings the page shows; told by the latest painting.</summary>
    public virtual IReadOnlyList<ReadingRequest> Readings => [];

    /// <summary>The message of which the page shows more than its health; told by the latest painting.</summary>
    public virtual MessageRequest? Message => null;

    /// <summary>Keys with a meaning of their own on this page.</summary>
    public virtual IReadOnlyList<KeyBinding> OwnKeys => [];

    /// <summary>The desk.</summary>
    protected Desk Desk => desk;

    /// <summary>What is chosen.</summary>
    protected Choice Choice => desk.Choice;

    /// <summary>What is shown.</summary>
    protected ScreenModel Model => desk.Model;

    /// <summary>Paints onto a cleared sheet; answer, buses, time and keys are painted already.</summary>
    public abstract void Paint(Scene scene, Layout layout);

    /// <summary>Chooses a line so many rows further down, or up where negative; up to the end.</summary>
    public abstract void Move(int rows);

    /// <summary>Takes a key that means something on this page.</summary>
    /// <returns>Whether it did; where not, it does what it does everywhere.</returns>
    public virtual bool Do(KeyAction action) => false;

    /// <summary>What is to be set where the page is turned to.</summary>
    public virtual void Open()
    {
    }
}
