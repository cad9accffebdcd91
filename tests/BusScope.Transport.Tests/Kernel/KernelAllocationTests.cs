using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Kernel;
using Xunit;

namespace BusScope.Transport.Tests.Kernel;

/// <summary>Interfaces that always have more.</summary>
public sealed class KernelAllocationTests
{
    private static readonly KernelInterface Link = new(1, "can0") { IsCan = true, IsUp = true, Kind = "can", State = ControllerState.ErrorActive };

    [Fact]
    public void Taking_frames_allocates_nothing()
    {
        var batch = new FrameBatch();
        var socket = new EndlessSocket(new byte[16], Control.Stamps(1_000_000_000, 5));
        using var source = new KernelSource(new EndlessKernel(), [(new Bus("chassis"), Link, socket), (new Bus("cabin"), Link with { Index = 2 }, socket)], TimeProvider.System);
        long frames = 0;

        var allocated = Allocation.Of(() =>
        {
            for (var i = 0; i < 100; i++)
            {
                source.Read(batch, TestContext.Current.CancellationToken);
                frames += batch.Count;
            }
        });

        Assert.Equal(0, allocated);
        Assert.InRange(frames, 50_000, long.MaxValue);
    }

    private sealed class EndlessSocket(byte[] record, byte[] control) : ICanSocket
    {
        public int Descriptor => 3;

        public long Lost => 0;

        public int Receive(MessageRoom room, int count)
        {
            var given = Math.Min(count, MessageRoom.Capacity);
            for (var i = 0; i < given; i++)
            {
                room.Put(i, record, control, 0);
            }

            return given;
        }

        public void Dispose()
        {
        }
    }

    private sealed class EndlessKernel : IKernel
    {
        public int Descriptor => 4;

        public IReadOnlyList<KernelInterface> Interfaces() => [];

        public void Ask(int index)
        {
        }

        public void Changes(ICollection<KernelInterface> found)
        {
        }

        public ICanSocket? Open(int index, out int error)
        {
            error = Errno.NoDevice;
            return null;
        }

        public void Wait(Span<KernelCalls.PollEntry> entries, int milliseconds)
        {
            foreach (ref var entry in entries[1..])
            {
                entry.Seen = 1;
            }
        }

        public void Dispose()
        {
        }
    }
}
