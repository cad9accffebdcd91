using BusScope.Reports.Against;

namespace BusScope.Reports.Pages;

/// <summary>What changed since an earlier check, in the same words as the text.</summary>
internal static class ChangePart
{
    /// <summary>Writes the part; nothing where nothing was compared.</summary>
    public static void Write(Markup page, CheckChange? change)
    {
        if (change is null)
        {
            return;
        }

        page.Element("section", "change", () =>
        {
            page.Element("h2", null, "Since the earlier check");
            page.Element("p", "lead", change.Earlier is { Source: { } source } ? $"Compared with {change.Earlier.Name}, a check of {source}. Gone means that it was looked for and not found this time." : $"Compared with {change.Earlier.Name}. Gone means that it was looked for and not found this time.");
            page.Element("dl", null, () =>
            {
                foreach (var (what, text) in ChangeText.Lines(change))
                {
                    page.Element("div", null, () =>
                    {
                        page.Element("dt", null, what);
                        page.Element("dd", null, text);
                    });
                }
            });
        });
        page.Line();
    }
}
