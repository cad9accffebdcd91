namespace BusScope.Reports.Pages;

/// <summary>
/// A table of a page: headings that come again on every printed page, rows that are not cut. On a narrow screen each row becomes a
/// small list, for which every cell carries its heading.
/// </summary>
internal sealed class Table(Markup page, string kind, params string[] headings)
{
    private readonly string[] names = [.. headings.Select(heading => heading.TrimStart('>'))];

    /// <summary>Writes the table.</summary>
    /// <param name="rows">One list of cells for each row; a cell may be null for an empty one.</param>
    public void Write(IEnumerable<IReadOnlyList<Action<Markup>?>> rows) =>
        page.Element("table", kind, () =>
        {
            page.Element("thead", null, () => page.Element("tr", null, () =>
            {
                for (var i = 0; i < names.Length; i++)
                {
                    page.Element("th", KindOf(i), () => page.Text(names[i]), ("scope", "col"));
                }
            }));
            page.Element("tbody", null, () =>
            {
                foreach (var row in rows)
                {
                    WriteRow(row);
                }
            });
        });

    /// <summary>A cell of text.</summary>
    public static Action<Markup>? Cell(string? text) => string.IsNullOrEmpty(text) ? null : page => page.Text(text);

    private void WriteRow(IReadOnlyList<Action<Markup>?> row)
    {
        page.Element("tr", null, () =>
        {
            for (var i = 0; i < names.Length; i++)
            {
                var cell = row[i];
                if (cell is null)
                {
                    page.Element("td", "none", () => { });
                }
                else
                {
                    page.Element("td", KindOf(i), () => page.Element("span", null, () => cell(page)), ("data-of", names[i]));
                }
            }
        });
        page.Line();
    }

    private string? KindOf(int column) => headings[column].StartsWith('>') ? "figure" : null;
}
