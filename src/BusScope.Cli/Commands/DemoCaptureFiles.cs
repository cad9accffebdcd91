using System.IO.Compression;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Pcapng;

namespace BusScope.Cli.Commands;

/// <summary><c>demo --write-captures</c>: pieces of the stories as files, to try the other commands on.</summary>
internal static class DemoCaptureFiles
{
    /// <summary>Writes all of them into a folder, which is made where it does not exist; files of the same names are overwritten.</summary>
    /// <exception cref="IOException">A file cannot be written.</exception>
    /// <returns>The exit status.</returns>
    public static int Write(ProgramConsole console, string folder, CancellationToken cancellation)
    {
        Directory.CreateDirectory(folder);
        foreach (var capture in DemoCaptures.All)
        {
            var path = Path.Combine(folder, capture.FileName);
            using var source = capture.Open();
            using (var file = File.Create(path))
            using (var packed = new GZipStream(file, CompressionLevel.SmallestSize))
            {
                Copy(source, packed, cancellation);
            }

            if (cancellation.IsCancellationRequested)
            {
                return ExitStatus.Interrupted;
            }

            console.Output.WriteLine(CleanText.Clean(path));
        }

        return ExitStatus.Fine;
    }

    private static void Copy(IFrameSource source, Stream output, CancellationToken cancellation)
    {
        using var writer = PcapngWriter.Create(output);
        var batch = new FrameBatch();
        while (!cancellation.IsCancellationRequested && source.Read(batch, cancellation) != SourceState.Ended)
        {
            writer.Write(batch, source.Buses);
        }

        writer.Complete();
    }
}
