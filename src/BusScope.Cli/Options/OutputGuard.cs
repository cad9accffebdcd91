using BusScope.Cli.Sources;
using BusScope.Transport.Input;

namespace BusScope.Cli.Options;

/// <summary>The one guard for all outputs: what a run reads is never written over by the same run, with or without <c>--force</c>.</summary>
internal static class OutputGuard
{
    /// <summary>Refuses an output that is one of the sources or of the files of definitions, by whatever path or link it is named.</summary>
    /// <param name="path">The output.</param>
    /// <param name="sources">The sources as named.</param>
    /// <param name="others">Further files that are read.</param>
    /// <param name="purpose">What the run makes: "recording", "report".</param>
    /// <exception cref="UsageException">It is one of them.</exception>
    public static void Refuse(string path, IReadOnlyList<SourceName> sources, IEnumerable<string> others, string purpose)
    {
        if (!File.Exists(path))
        {
            return;
        }

        if (sources.Any(source => !source.IsStandardInput && source.Story is null && IsSame(source.Where, path)))
        {
            throw new UsageException($"{path}: is a source of this {purpose} and cannot be written at the same time");
        }

        if (others.Any(other => IsSame(other, path)))
        {
            throw new UsageException($"{path}: is read for this {purpose} and cannot be written at the same time");
        }
    }

    private static bool IsSame(string path, string output) =>
        (FileIdentity.Of(path), FileIdentity.Of(output)) is ({ } read, { } written)
            ? read == written
            : string.Equals(Path.GetFullPath(path), Path.GetFullPath(output), StringComparison.OrdinalIgnoreCase);
}
