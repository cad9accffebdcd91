namespace BusScope.Reports.Pages;

/// <summary>What a reader must know before trusting a verdict: what a bus can prove, and what it cannot.</summary>
internal static class LimitPart
{
    private static readonly (string Strong, string Text)[] Limits =
    [
        ("A message on the bus is not yet a message understood.",
            " This check saw that frames came, when, with which length, counter, checksum and values, as the definition files expect them. Whether the module acts on them can only be seen at the module."),
        ("The definition files are the measure.",
            " What they do not expect was not missed. A definition that was learned from a recording holds what that recording held, and no more."),
        ("A recording shows what the recorder heard.",
            " Frames that it lost, or that were sent where it was not connected, do not stand in it."),
        ("Readings from the bus are no substitute for a gauge.",
            " A value is what a module says. Before anything depends on a pressure, a temperature, a voltage or a speed, measure it."),
        ("GO is no leave to drive.",
            " Nobody cranks, jacks up, runs or drives a car on the strength of this report alone. Follow the workshop manual, keep people clear of moving parts, and try the brakes, the steering and the restraint systems in a safe place before the road."),
        ("Law and licensed practice come first.",
            " Changes to engine control, emission control, brakes or restraint systems may be forbidden, or need approval or a licensed workshop, where the car is used. This report certifies nothing."),
    ];

    /// <summary>Writes the part.</summary>
    public static void Write(Markup page) =>
        page.Element("section", "limits", () =>
        {
            page.Element("h2", null, "Cautions, and what a bus can prove");
            page.Element("ul", null, () =>
            {
                foreach (var (strong, text) in Limits)
                {
                    page.Element("li", null, () =>
                    {
                        page.Element("b", null, strong);
                        page.Text(text);
                    });
                }
            });
        });
}
