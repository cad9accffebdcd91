using Microsoft.Playwright;
using Xunit;
using Xunit.Sdk;

namespace BusScope.Browser.Tests;

/// <summary>Debian's browser without a window; everything that a page does wrong in it is written down.</summary>
public sealed class Chromium : IAsyncLifetime
{
    private const string Program = "/usr/bin/chromium";

    // No sandbox: tests may run as root. The rest keeps the browser itself off the network.
    private static readonly string[] Arguments =
        ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

    private IPlaywright? playwright;
    private IBrowser? browser;

    /// <summary>The browser.</summary>
    /// <remarks>Skips the test where it is not installed; in CI that is a failure.</remarks>
    public IBrowser Browser => browser
        ?? (Environment.GetEnvironmentVariable("CI") == "true"
            ? throw new InvalidOperationException($"there is no {Program}: .ci/run installs it")
            : throw SkipException.ForSkip($"there is no {Program} (Debian package chromium)"));

    public async ValueTask InitializeAsync()
    {
        if (!File.Exists(Program))
        {
            return;
        }

        playwright = await Playwright.CreateAsync();
        browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = Program, Headless = true, Args = Arguments });
    }

    public async ValueTask DisposeAsync()
    {
        if (browser is not null)
        {
            await browser.DisposeAsync();
        }

        playwright?.Dispose();
    }
}
