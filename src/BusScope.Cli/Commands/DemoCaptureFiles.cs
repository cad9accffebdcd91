using System.IO.Compression;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Transport.Pcapng;

namespace BusScope.Cli.Commands;

/// <summary><c>demo --write-captures FOLDER</c>: pieces of the stories as compressed pcapng files.</summary>
internal static class DemoCaptureFiles
{
    /// <summary>Writes all of <see cref="DemoCaptures.All"/> and names each file on <paramref name="progress"/>.</summary>
    /// <exception cref="IOException">The folder cannot be written.</exception>
    public static void Write(string folder, TextWriter progress, CancellationToken cancellation)
    {
        Directory.CreateDirectory(folder);
        foreach (var capture in DemoCaptures.All)
        {
            var path = Path.Combine(folder, capture.FileName);
            using (var file = File.Create(path))
            using (var packed = new GZipStream(file, CompressionLevel.SmallestSize))
            {
                Write(capture, packed, cancellation);
            }

            progress.WriteLine($"{path}: {new FileInfo(path).Length} bytes");
        }
    }

    private static void Write(DemoCapture capture, Stream stream, CancellationToken cancellation)
    {
        using var source = capture.Open();
        using var writer = PcapngWriter.Create(stream);
        var batch = new FrameBatch();
        while (source.Read(batch, cancellation) != SourceState.Ended)
        {
            cancellation.ThrowIfCancellationRequested();
            writer.Write(batch, source.Buses);
        }

        writer.Complete();
    }
}
