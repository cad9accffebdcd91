using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Transport.Tests;

/// <summary>Captures in memory, read whole.</summary>
internal static class Captures
{
    public static (ICaptureSource Source, ReadFrames Read) Read(byte[] bytes, CaptureOptions? options = null) => Read(new MemoryStream(bytes), options);

    public static (ICaptureSource Source, ReadFrames Read) Read(CaptureBuilder builder, CaptureOptions? options = null) => Read(builder.Bytes, options);

    public static (ICaptureSource Source, ReadFrames Read) Read(Stream stream, CaptureOptions? options = null)
    {
        var source = (ICaptureSource)CaptureFile.OpenUnaudited(stream, "test", options);
        return (source, ReadFrames.From(source, TestContext.Current.CancellationToken));
    }

    /// <summary>Problems as <c>code count</c>.</summary>
    public static IReadOnlyList<string> Problems(IFrameSource source) => [.. source.Problems.All.Select(p => $"{p.Kind.Code} {p.Count}")];

    /// <summary>A file with content that is removed after the test.</summary>
    public sealed class TemporaryFolder : IDisposable
    {
        public string Path { get; } = Directory.CreateTempSubdirectory("busscope-").FullName;

        public string File(string name, byte[] content)
        {
            var path = System.IO.Path.Combine(Path, name);
            System.IO.File.WriteAllBytes(path, content);
            return path;
        }

        public void Dispose() => Directory.Delete(Path, recursive: true);
    }
}

/// <summary>A stream that gives its bytes in pieces of the given sizes, over and over.</summary>
internal sealed class PiecewiseStream(byte[] bytes, int[] sizes) : MemoryStream(bytes)
{
    private int turn;

    public override bool CanSeek => false;

    // The other form of Read comes here too in a class derived from MemoryStream.
    public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, Math.Min(count, sizes[turn++ % sizes.Length]));
}
