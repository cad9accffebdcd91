using BusScope.Transport.Streams;
using Xunit;

namespace BusScope.Transport.Tests.Streams;

public sealed class GatheringStreamTests
{
    [Fact]
    public void After_a_read_that_brought_little_a_moment_is_let_pass_and_after_one_that_brought_much_none()
    {
        var pauses = 0;
        using var stream = new GatheringStream(new Portions(48, 4_095, 4_096, 65_536, 1, 0), () => pauses++);
        var buffer = new byte[65_536];

        List<(int Count, int Pauses)> reads = [];
        for (var i = 0; i < 6; i++)
        {
            reads.Add((stream.Read(buffer), pauses));
        }

        Assert.Equal([(48, 0), (4_095, 1), (4_096, 2), (65_536, 2), (1, 2), (0, 3)], reads);
    }

    [Fact]
    public void A_buffer_that_was_filled_is_read_on_at_once()
    {
        var pauses = 0;
        using var stream = new GatheringStream(new MemoryStream(new byte[64]), () => pauses++);

        Assert.Equal(16, stream.Read(new byte[16]));
        Assert.Equal(48, stream.Read(new byte[100]));

        Assert.Equal(0, pauses);
    }

    // Gives so many bytes at each read.
    private sealed class Portions(params int[] counts) : MemoryStream
    {
        private int next;

        public override int Read(Span<byte> buffer) => counts[next++];
    }
}
