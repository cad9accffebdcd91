using BusScope.Frames;
using CsCheck;

namespace BusScope.Transport.Tests;

/// <summary>Frames of every kind that a bus or an adapter can give.</summary>
internal static class FrameGens
{
    private static readonly int[] Flexible = [0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64];

    public static readonly Gen<FrameTime> AnyTime = Gen.Frequency(
        (4, Gen.Long[0, 4_000_000_000_000_000_000]),
        (2, Gen.Long[-1_000_000_000, 1_000_000_000]),
        (1, Gen.Long[long.MinValue + 1, long.MaxValue]),
        (1, Gen.OneOf([long.MinValue + 1, -1L, 0L, 1L, long.MaxValue]))).Select(ns => new FrameTime(ns));

    public static Gen<Frame> Frame(int buses, Gen<FrameTime> times) =>
        from time in times
        from bus in Gen.Int[0, buses - 1]
        from kind in Gen.Int[0, 9]
        from id in Id
        from flexible in Gen.OneOf(Flexible)
        from flags in Gen.Int[0, 3]
        from classic in Gen.Int[0, 8]
        from data in Gen.Byte.Array[64]
        from direction in Gen.Enum<Direction>()
        from rawCode in Gen.Int[8, 15]
        select Make(time, (ushort)bus, kind, id, kind < 3 ? flexible : classic, (FrameKinds)flags, data, direction, (byte)rawCode);

    private static readonly Gen<CanId> Id = Gen.Frequency(
        (3, Gen.UInt[0, CanId.LargestBase].Select(id => new CanId(id, false))),
        (3, Gen.UInt[0, CanId.LargestExtended].Select(id => new CanId(id, true))));

    private static Frame Make(FrameTime time, ushort bus, int kind, CanId id, int length, FrameKinds flags, byte[] data, Direction direction, byte rawCode)
    {
        var frame = default(Frame);
        switch (kind)
        {
            case < 3:
                frame.Set(time, bus, id, flags | FrameKinds.FlexibleDataRate, data.AsSpan(0, length));
                break;
            case 3:
                frame.SetClassic(time, bus, id, FrameKinds.Remote, (byte)length, 0);
                break;
            case 4:
                frame.Set(time, bus, new CanId(id.Value & 0x3FF, false), FrameKinds.ErrorReport, data.AsSpan(0, 8));
                break;
            default:
                frame.Set(time, bus, id, FrameKinds.None, data.AsSpan(0, length));
                frame.RawLengthCode = length == 8 ? rawCode : (byte)0;
                break;
        }

        frame.Direction = direction;
        return frame;
    }
}
