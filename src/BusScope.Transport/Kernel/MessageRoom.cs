using System.Buffers.Binary;
using System.Runtime.InteropServices;

namespace BusScope.Transport.Kernel;

/// <summary>
/// Room for what one recvmmsg(2) gives: headers, records and control messages in one pinned array, laid out as the kernel wants
/// them on a 64-bit machine. Made once; receiving allocates nothing.
/// </summary>
internal sealed class MessageRoom
{
    /// <summary>The most messages that one call gives: a call more takes what is left of a bus that brings more at once.</summary>
    public const int Capacity = 128;

    // struct mmsghdr: a struct msghdr of 56 bytes and the length received; struct iovec: 16 bytes.
    private const int HeaderSize = 64;
    private const int VectorAt = 16;
    private const int VectorCountAt = 24;
    private const int ControlAt = 32;
    private const int ControlLengthAt = 40;
    private const int FlagsAt = 48;
    private const int LengthAt = 56;
    private const int VectorSize = 16;

    // struct canfd_frame; the one control message that is asked for, SCM_TIMESTAMPING, takes 16 + 48 bytes: room for as much again.
    private const int RecordSize = 72;
    private const int ControlSize = 128;

    private const int VectorsFrom = Capacity * HeaderSize;
    private const int RecordsFrom = VectorsFrom + (Capacity * VectorSize);
    private const int ControlsFrom = RecordsFrom + (Capacity * RecordSize);
    private readonly byte[] memory = GC.AllocateArray<byte>(ControlsFrom + (Capacity * ControlSize), pinned: true);

    /// <summary>Room with all addresses in place.</summary>
    public MessageRoom()
    {
        for (var i = 0; i < Capacity; i++)
        {
            var header = Header(i);
            WriteAddress(header[VectorAt..], VectorsFrom + (i * VectorSize));
            BinaryPrimitives.WriteInt64LittleEndian(header[VectorCountAt..], 1);
            WriteAddress(header[ControlAt..], ControlsFrom + (i * ControlSize));
            var vector = memory.AsSpan(VectorsFrom + (i * VectorSize), VectorSize);
            WriteAddress(vector, RecordsFrom + (i * RecordSize));
            BinaryPrimitives.WriteInt64LittleEndian(vector[sizeof(long)..], RecordSize);
        }
    }

    /// <summary>Makes the headers ready for the next call, for the one before wrote into them.</summary>
    /// <returns>The first byte of the headers.</returns>
    public ref byte Prepare()
    {
        for (var i = 0; i < Capacity; i++)
        {
            BinaryPrimitives.WriteInt64LittleEndian(Header(i)[ControlLengthAt..], ControlSize);
        }

        return ref memory[0];
    }

    /// <summary>The bytes of a record that came: 16 for Classical CAN, 72 for CAN FD.</summary>
    public Span<byte> Record(int index) =>
        memory.AsSpan(RecordsFrom + (index * RecordSize), Math.Clamp(BinaryPrimitives.ReadInt32LittleEndian(Header(index)[LengthAt..]), 0, RecordSize));

    /// <summary>The control messages that came with it.</summary>
    public Span<byte> Control(int index) =>
        memory.AsSpan(ControlsFrom + (index * ControlSize), (int)Math.Clamp(BinaryPrimitives.ReadInt64LittleEndian(Header(index)[ControlLengthAt..]), 0, ControlSize));

    /// <summary>The flags that came with it: msg_flags.</summary>
    public int Flags(int index) => BinaryPrimitives.ReadInt32LittleEndian(Header(index)[FlagsAt..]);

    /// <summary>Puts a message where the kernel would, for a source that is tried without one.</summary>
    public void Put(int index, ReadOnlySpan<byte> record, ReadOnlySpan<byte> control, int flags)
    {
        var header = Header(index);
        BinaryPrimitives.WriteInt32LittleEndian(header[LengthAt..], record.Length);
        BinaryPrimitives.WriteInt64LittleEndian(header[ControlLengthAt..], control.Length);
        BinaryPrimitives.WriteInt32LittleEndian(header[FlagsAt..], flags);
        record.CopyTo(memory.AsSpan(RecordsFrom + (index * RecordSize), RecordSize));
        control.CopyTo(memory.AsSpan(ControlsFrom + (index * ControlSize), ControlSize));
    }

    private Span<byte> Header(int index) => memory.AsSpan(index * HeaderSize, HeaderSize);

    private void WriteAddress(Span<byte> where, int offset) =>
        BinaryPrimitives.WriteInt64LittleEndian(where, Marshal.UnsafeAddrOfPinnedArrayElement(memory, offset));
}
