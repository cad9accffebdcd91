using System.Buffers.Binary;
using BusScope.Transport.Kernel;

namespace BusScope.Transport.Tests.Kernel;

/// <summary>A kernel by hand: what its interfaces have to give is put in beforehand.</summary>
internal sealed class FakeKernel : IKernel
{
    private readonly Queue<KernelInterface> told = new();

    public Dictionary<int, FakeSocket> Sockets { get; } = [];

    public List<int> Asked { get; } = [];

    public int Descriptor => 1_000;

    /// <summary>The waits asked for, in milliseconds.</summary>
    public List<int> Waits { get; } = [];

    public void Tell(KernelInterface link) => told.Enqueue(link);

    public FakeSocket Socket(int index) => Sockets[index] = new FakeSocket(index);

    public IReadOnlyList<KernelInterface> Interfaces() => [];

    public void Ask(int index) => Asked.Add(index);

    public void Changes(ICollection<KernelInterface> found)
    {
        while (told.TryDequeue(out var link))
        {
            found.Add(link);
        }
    }

    public ICanSocket? Open(int index, out int error)
    {
        error = Sockets.ContainsKey(index) ? 0 : Errno.NoDevice;
        return Sockets.GetValueOrDefault(index);
    }

    public void Wait(Span<KernelCalls.PollEntry> entries, int milliseconds)
    {
        Waits.Add(milliseconds);
        foreach (ref var entry in entries)
        {
            var descriptor = entry.Descriptor;
            entry.Seen = (short)((descriptor == Descriptor && told.Count > 0) || Sockets.Values.Any(socket => socket.Descriptor == descriptor && socket.HasSomething) ? 1 : 0);
        }
    }

    public void Dispose()
    {
    }
}

/// <summary>A socket by hand.</summary>
internal sealed class FakeSocket(int index) : ICanSocket
{
    private readonly Queue<(byte[] Record, long Software, long Hardware, int Flags)> frames = new();
    private readonly Queue<int> refusals = new();
    private bool isFirst;

    public int Descriptor => index;

    public long Lost { get; set; }

    public bool IsClosed { get; private set; }

    public bool HasSomething => frames.Count > 0 || refusals.Count > 0;

    /// <summary>A Classical CAN frame stamped by the kernel at so many nanoseconds.</summary>
    public void Give(uint id, long nanoseconds, string hex = "", long hardware = 0, int flags = 0)
    {
        var record = new byte[16];
        BinaryPrimitives.WriteUInt32LittleEndian(record, id);
        var data = Convert.FromHexString(hex);
        record[4] = (byte)data.Length;
        data.CopyTo(record, 8);
        frames.Enqueue((record, nanoseconds, hardware, flags));
    }

    /// <summary>What the interface has to say: behind the frames that wait, or as the kernel does it, before them.</summary>
    public void Refuse(int error, bool isBefore = false)
    {
        refusals.Enqueue(error);
        isFirst = isBefore;
    }

    public int Receive(MessageRoom room, int count)
    {
        if ((frames.Count == 0 || isFirst) && refusals.TryDequeue(out var error))
        {
            return -error;
        }

        var given = 0;
        for (; given < Math.Min(count, MessageRoom.Capacity) && frames.TryDequeue(out var frame); given++)
        {
            room.Put(given, frame.Record, Control.Stamps(frame.Software, frame.Hardware), frame.Flags);
        }

        return given > 0 ? given : -Errno.TryAgain;
    }

    public void Dispose() => IsClosed = true;
}

/// <summary>Control messages as the kernel lays them out: cmsg(3), struct scm_timestamping.</summary>
internal static class Control
{
    public static byte[] Stamps(long software, long hardware)
    {
        var bytes = new byte[64];
        BinaryPrimitives.WriteInt64LittleEndian(bytes, 64);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(8), 1);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(12), 37);
        Write(bytes.AsSpan(16), software);
        Write(bytes.AsSpan(48), hardware);
        return bytes;
    }

    private static void Write(Span<byte> where, long nanoseconds)
    {
        BinaryPrimitives.WriteInt64LittleEndian(where, nanoseconds / 1_000_000_000);
        BinaryPrimitives.WriteInt64LittleEndian(where[8..], nanoseconds % 1_000_000_000);
    }
}
