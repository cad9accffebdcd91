using System.IO.Compression;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcapng;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class CaptureTests
{
    private const long LargestFile = 300_000;
    private const long LargestFolder = 2_000_000;

    public static TheoryData<string> FileNames => [.. DemoCaptures.All.Select(c => c.FileName)];

    [Theory]
    [MemberData(nameof(FileNames))]
    public void The_file_in_captures_is_what_the_command_makes(string fileName)
    {
        var made = Pcapng(DemoCaptures.All.Single(c => c.FileName == fileName));
        var path = RepoFiles.Path("captures", fileName);
        Assert.True(File.Exists(path), $"{path} is missing: make it with 'busscope demo --write-captures captures'");

        // Compressed bytes depend on the version of the compressor; what is in them must not.
        using var kept = new MemoryStream();
        using (var file = File.OpenRead(path))
        using (var unpacked = new GZipStream(file, CompressionMode.Decompress))
        {
            unpacked.CopyTo(kept);
        }

        Assert.True(made.AsSpan().SequenceEqual(kept.ToArray()), $"{path} differs: make it again with 'busscope demo --write-captures captures'");
    }

    [Fact]
    public void The_folder_holds_these_files_and_no_other_and_stays_small()
    {
        var files = new DirectoryInfo(RepoFiles.Path("captures")).GetFiles();

        Assert.Equal(DemoCaptures.All.Select(c => c.FileName).Order(), files.Select(f => f.Name).Order());
        Assert.All(files, f => Assert.InRange(f.Length, 1, LargestFile));
        Assert.InRange(files.Sum(f => f.Length), 1, LargestFolder);
    }

    private static byte[] Pcapng(DemoCapture capture)
    {
        using var stream = new MemoryStream();
        using var source = capture.Open();
        using (var writer = PcapngWriter.Create(stream))
        {
            var batch = new FrameBatch();
            while (source.Read(batch, CancellationToken.None) != SourceState.Ended)
                writer.Write(batch, source.Buses);
            writer.Complete();
        }

        return stream.ToArray();
    }
}
