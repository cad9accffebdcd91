using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>How the identifiers of a table are to be read.</summary>
/// <param name="IsDecimal">Whether the digits are decimal.</param>
/// <param name="Extended">Whether all have 29 bits, or none; null: as the column says, and without one, above 0x7FF.</param>
internal readonly record struct IdReading(bool IsDecimal, bool? Extended);

/// <summary>Turns the cells of a row into a frame. Nothing here allocates or throws; a fault is returned, and the row gives no frame.</summary>
internal sealed class RowDecoder(TableColumns columns, TableClock clock, IdReading ids, bool isPadded, BusNames buses)
{
    // Byte counts of the data length codes 9 to 15 in CAN FD (ISO 11898-1, table of DLC; Linux drivers/net/can/dev/length.c).
    private static ReadOnlySpan<byte> FlexibleLengths => [12, 16, 20, 24, 32, 48, 64];

    private readonly byte[] data = new byte[Payload.Capacity];
    private readonly int timeColumn = columns[ColumnRole.Time];
    private readonly int idColumn = columns[ColumnRole.Id];
    private readonly int extendedColumn = columns[ColumnRole.Extended];
    private readonly int busColumn = columns[ColumnRole.Bus];
    private readonly int directionColumn = columns[ColumnRole.Direction];
    private readonly int dataColumn = columns[ColumnRole.Data];
    private readonly int lastNeeded = columns.LastNeeded;
    private readonly int lengthColumn = Math.Max(columns[ColumnRole.Length], columns[ColumnRole.LengthCode]);
    private readonly bool lengthIsCode = columns[ColumnRole.LengthCode] >= 0;

    // The columns of FD, BRS, ESI, remote and error with what they say; almost always none.
    private readonly (int Column, FrameKinds Kind)[] flags =
    [
        .. new (int Column, FrameKinds Kind)[]
        {
            (columns[ColumnRole.FlexibleDataRate], FrameKinds.FlexibleDataRate),
            (columns[ColumnRole.BitRateSwitch], FrameKinds.BitRateSwitch),
            (columns[ColumnRole.ErrorStateIndicator], FrameKinds.ErrorStateIndicator),
            (columns[ColumnRole.Remote], FrameKinds.Remote),
            (columns[ColumnRole.Error], FrameKinds.ErrorReport),
        }.Where(f => f.Column >= 0),
    ];

    /// <summary>Adds the row's frame to the batch, or says what is wrong with the row.</summary>
    public ProblemKind? Decode(ReadOnlySpan<byte> text, Cells cells, FrameBatch batch)
    {
        if (cells.Count <= lastNeeded)
        {
            return TableProblems.TooFewColumns;
        }

        if (!clock.TryRead(cells.Get(text, timeColumn), out var time))
        {
            return TableProblems.NotATime;
        }

        CanId id = default;
        var (bus, count, length, code, direction) = (0, 0, 0, (byte)0, Direction.Unknown);
        var fault = ReadKinds(text, cells, out var kinds) ?? ReadId(text, cells, kinds, out id) ?? ReadBus(text, cells, out bus)
            ?? ReadDirection(text, cells, out direction) ?? ReadData(text, cells, out count)
            ?? ReadLength(text, cells, kinds, count, out length, out code);
        if (fault is not null)
        {
            return fault;
        }

        ref var frame = ref batch.Add();
        if (length <= Payload.ClassicCapacity)
        {
            frame.SetClassic(time, (ushort)bus, id, kinds, (byte)length, BitConverter.ToUInt64(data));
        }
        else
        {
            frame.Set(time, (ushort)bus, id, kinds, data.AsSpan(0, length));
        }

        frame.Direction = direction;
        frame.RawLengthCode = code;
        return null;
    }

    private ProblemKind? ReadKinds(ReadOnlySpan<byte> text, Cells cells, out FrameKinds kinds)
    {
        kinds = FrameKinds.None;
        foreach (var (column, kind) in flags)
        {
            if (CellNumbers.Flag(cells.Get(text, column)) is not { } isSet)
            {
                return TableProblems.NotAFlag;
            }

            kinds |= isSet ? kind : FrameKinds.None;
        }

        return null;
    }

    private ProblemKind? ReadId(ReadOnlySpan<byte> text, Cells cells, FrameKinds kinds, out CanId id)
    {
        id = default;
        var cell = cells.Get(text, idColumn);
        var isNumber = ids.IsDecimal ? CellNumbers.TryDecimal(cell, out var value) : CellNumbers.TryHex(cell, out value);
        if (!isNumber && !((kinds & FrameKinds.ErrorReport) != 0 && cell.IsEmpty))
        {
            return TableProblems.NotAnId;
        }

        if (value > CanId.LargestExtended)
        {
            return TableProblems.IdTooLarge;
        }

        var isExtended = ids.Extended ?? value > CanId.LargestBase;
        if (extendedColumn >= 0 && ids.Extended is null)
        {
            if (Extended(cells.Get(text, extendedColumn)) is not { } said)
            {
                return TableProblems.NotAFlag;
            }

            isExtended = said;
        }

        id = new CanId((uint)value, isExtended);
        return null;
    }

    private static bool? Extended(ReadOnlySpan<byte> cell) => CellNumbers.Flag(cell)
        ?? (CellNumbers.Is(cell, "ext"u8) || CellNumbers.Is(cell, "extended"u8) || CellNumbers.Is(cell, "29"u8) ? true
            : CellNumbers.Is(cell, "std"u8) || CellNumbers.Is(cell, "standard"u8) || CellNumbers.Is(cell, "base"u8) || CellNumbers.Is(cell, "11"u8) ? false
            : null);

    private ProblemKind? ReadBus(ReadOnlySpan<byte> text, Cells cells, out int bus)
    {
        bus = 0;
        return busColumn < 0 ? null : buses.Find(cells.Get(text, busColumn), out bus);
    }

    private ProblemKind? ReadDirection(ReadOnlySpan<byte> text, Cells cells, out Direction direction)
    {
        direction = Direction.Unknown;
        var cell = directionColumn < 0 ? [] : cells.Get(text, directionColumn);
        if (cell.IsEmpty)
        {
            return null;
        }

        direction = (cell[0] | 0x20) switch
        {
            'r' when cell.Length == 1 || CellNumbers.Is(cell, "rx"u8) || CellNumbers.Is(cell, "received"u8) => Direction.Received,
            't' when cell.Length == 1 || CellNumbers.Is(cell, "tx"u8) => Direction.Sent,
            's' when cell.Length == 1 || CellNumbers.Is(cell, "sent"u8) => Direction.Sent,
            _ => Direction.Unknown,
        };
        return direction == Direction.Unknown ? TableProblems.NotADirection : null;
    }

    private ProblemKind? ReadData(ReadOnlySpan<byte> text, Cells cells, out int count)
    {
        count = 0;
        if (dataColumn >= 0)
        {
            // A data column that is the last one takes the rest of the row: bytes between blanks are cells of their own.
            var last = dataColumn == columns.Count - 1 ? cells.Count - 1 : dataColumn;
            for (var column = dataColumn; column <= last; column++)
            {
                var read = CellNumbers.ReadBytes(cells.Get(text, column), data.AsSpan(count));
                if (read < 0)
                {
                    return read == -2 ? TableProblems.LengthTooLarge : TableProblems.NotData;
                }

                count += read;
            }

            return dataColumn == columns.Count - 1 ? null : BeyondHeader(text, cells);
        }

        var isEnded = false;
        foreach (var column in columns.DataBytes)
        {
            var cell = cells.Get(text, column);
            if (cell.IsEmpty)
            {
                isEnded = true;
                continue;
            }

            if (isEnded)
            {
                return TableProblems.GapInData;
            }

            if (!CellNumbers.TryByte(cell, out data[count++]))
            {
                return TableProblems.NotData;
            }
        }

        return BeyondHeader(text, cells);
    }

    // Separators at the end of a row are harmless; filled cells without a name are not.
    private ProblemKind? BeyondHeader(ReadOnlySpan<byte> text, Cells cells)
    {
        for (var column = columns.Count; column < cells.Count; column++)
        {
            if (!cells.Get(text, column).IsEmpty)
            {
                return TableProblems.TooManyColumns;
            }
        }

        return null;
    }

    private ProblemKind? ReadLength(ReadOnlySpan<byte> text, Cells cells, FrameKinds kinds, int count, out int length, out byte code)
    {
        length = count;
        code = 0;
        if (lengthColumn < 0)
        {
            return null;
        }

        if (!CellNumbers.TryDecimal(cells.Get(text, lengthColumn), out var said))
        {
            return TableProblems.NotALength;
        }

        if (said > Payload.Capacity)
        {
            return TableProblems.LengthTooLarge;
        }

        length = (int)said;
        if (lengthIsCode && length is > 8 and < 16 && length != count)
        {
            var isFlexible = (kinds & FrameKinds.FlexibleDataRate) != 0;
            code = isFlexible ? (byte)0 : (byte)length;
            length = isFlexible ? FlexibleLengths[length - 9] : Payload.ClassicCapacity;
        }

        // A remote frame has no data, whatever its columns are filled with; its length is what it asks for.
        if ((kinds & FrameKinds.Remote) != 0 || !columns.HasData)
        {
            data.AsSpan(0, length).Clear();
            return null;
        }

        return length == count || (isPadded && length < count) ? null : TableProblems.LengthDisagrees;
    }
}
