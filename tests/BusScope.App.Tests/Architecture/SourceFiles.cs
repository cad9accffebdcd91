using BusScope.TestKit;

namespace BusScope.App.Tests.Architecture;

/// <summary>The C# files of the checkout.</summary>
internal static class SourceFiles
{
    /// <summary>Files under src and tests, without build outputs.</summary>
    public static IEnumerable<string> All => Under("src").Concat(Under("tests"));

    /// <summary>Files under one top folder.</summary>
    public static IEnumerable<string> Under(string folder) =>
        Directory.EnumerateFiles(RepoFiles.Path(folder), "*.cs", SearchOption.AllDirectories);

    /// <summary>The path from the top of the checkout.</summary>
    public static string Short(string path) => Path.GetRelativePath(RepoFiles.Root, path);
}
