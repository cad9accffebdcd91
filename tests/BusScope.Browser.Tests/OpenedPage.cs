using Microsoft.Playwright;

namespace BusScope.Browser.Tests;

/// <summary>A page opened from a file, with every request and every complaint that it made.</summary>
internal sealed class OpenedPage : IAsyncDisposable
{
    private readonly IBrowserContext context;

    private OpenedPage(IBrowserContext context, IPage page) => (this.context, Page) = (context, page);

    public IPage Page { get; }

    /// <summary>What it asked for beside itself.</summary>
    public List<string> Requests { get; } = [];

    /// <summary>Messages on the console and faults of the page.</summary>
    public List<string> Complaints { get; } = [];

    /// <summary>How long opening took by the browser's own clock, in milliseconds.</summary>
    public double OpenedAfter { get; private set; }

    public static async Task<OpenedPage> Open(IBrowser browser, string path, int width, int height = 900)
    {
        var context = await browser.NewContextAsync(new() { ViewportSize = new() { Width = width, Height = height } });
        var opened = new OpenedPage(context, await context.NewPageAsync());
        var address = new Uri(path).AbsoluteUri;
        opened.Page.Request += (_, request) =>
        {
            if (request.Url != address)
            {
                opened.Requests.Add(request.Url);
            }
        };
        opened.Page.Console += (_, message) => opened.Complaints.Add(message.Text);
        opened.Page.PageError += (_, error) => opened.Complaints.Add(error);
        await opened.Page.GotoAsync(address, new() { WaitUntil = WaitUntilState.Load });
        opened.OpenedAfter = await opened.Page.EvaluateAsync<double>("performance.getEntriesByType('navigation')[0].loadEventStart");
        return opened;
    }

    public ValueTask DisposeAsync() => context.DisposeAsync();
}
