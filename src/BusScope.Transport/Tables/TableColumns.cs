namespace BusScope.Transport.Tables;

/// <summary>What a column of a text table says about a frame.</summary>
public enum ColumnRole
{
    /// <summary>When the frame came.</summary>
    Time,

    /// <summary>The identifier.</summary>
    Id,

    /// <summary>Whether the identifier has 29 bits.</summary>
    Extended,

    /// <summary>The bus, by any name.</summary>
    Bus,

    /// <summary>Received or sent.</summary>
    Direction,

    /// <summary>The number of data bytes.</summary>
    Length,

    /// <summary>The data length code, or the number of data bytes: both are found under this name.</summary>
    LengthCode,

    /// <summary>All data bytes in one cell.</summary>
    Data,

    /// <summary>Whether it is a CAN FD frame.</summary>
    FlexibleDataRate,

    /// <summary>Whether the bit rate was switched (BRS).</summary>
    BitRateSwitch,

    /// <summary>Whether the sender is error-passive (ESI).</summary>
    ErrorStateIndicator,

    /// <summary>Whether it is a remote frame.</summary>
    Remote,

    /// <summary>Whether it is an error report.</summary>
    Error,
}

/// <summary>Where the cells of a frame stand in a row. Frozen once the header or the profile is understood.</summary>
internal sealed class TableColumns
{
    /// <summary>The most data columns: the longest CAN FD payload.</summary>
    public const int MostDataColumns = Frames.Payload.Capacity;

    private readonly int[] byRole = [.. Enumerable.Repeat(-1, Enum.GetValues<ColumnRole>().Length)];

    /// <summary>The column of a role, counted from 0, or -1.</summary>
    public int this[ColumnRole role]
    {
        get => byRole[(int)role];
        set => byRole[(int)role] = value;
    }

    /// <summary>The columns of single data bytes in order of the bytes; empty where all data stand in one cell.</summary>
    public int[] DataBytes { get; set; } = [];

    /// <summary>How many columns the header has.</summary>
    public int Count { get; set; }

    /// <summary>Whether time, identifier and a payload or its length can be read.</summary>
    public bool AreEnough => this[ColumnRole.Time] >= 0 && this[ColumnRole.Id] >= 0 && (HasData || HasLength);

    /// <summary>Whether a column holds data.</summary>
    public bool HasData => DataBytes.Length > 0 || this[ColumnRole.Data] >= 0;

    /// <summary>Whether a column holds the length.</summary>
    public bool HasLength => this[ColumnRole.Length] >= 0 || this[ColumnRole.LengthCode] >= 0;

    /// <summary>The last column that every row must have. Data may be absent: a frame can be empty.</summary>
    public int LastNeeded
    {
        get
        {
            var last = 0;
            for (var role = ColumnRole.Time; role <= ColumnRole.LengthCode; role++)
            {
                last = Math.Max(last, this[role]);
            }

            return last;
        }
    }
}
