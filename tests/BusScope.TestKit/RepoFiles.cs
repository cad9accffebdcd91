using System.Runtime.CompilerServices;
using Xunit.Sdk;

namespace BusScope.TestKit;

/// <summary>Paths in the checkout that the tests were built from.</summary>
public static class RepoFiles
{
    /// <summary>The top folder of the checkout.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>A file or folder of the checkout.</summary>
    public static string Path(params ReadOnlySpan<string> parts) => System.IO.Path.Combine([Root, .. parts]);

    /// <summary>A file of the folder of published figures and captures beside the checkout; skips the test where it is absent.</summary>
    public static string Shared(params ReadOnlySpan<string> parts)
    {
        var path = System.IO.Path.Combine([Root, "..", "shared", .. parts]);
        if (!File.Exists(path) && !Directory.Exists(path))
        {
            throw SkipException.ForSkip($"the folder of reference data beside the checkout has no {string.Join('/', parts.ToArray())}");
        }

        return path;
    }

    private static string FindRoot([CallerFilePath] string here = "")
    {
        var folder = System.IO.Path.GetDirectoryName(here);
        while (folder is not null && !File.Exists(System.IO.Path.Combine(folder, "BusScope.sln")))
        {
            folder = System.IO.Path.GetDirectoryName(folder);
        }

        return folder ?? throw new InvalidOperationException($"no BusScope.sln above {here}");
    }
}
