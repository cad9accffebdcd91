using System.Text;

namespace BusScope.Transport.Tables;

/// <summary>Times and identifiers of a table's first rows: what an inference goes by.</summary>
internal sealed class TableSample
{
    private readonly List<double> times = [];
    private readonly HashSet<string> ids = new(StringComparer.Ordinal);

    /// <summary>The times, as numbers of an unknown unit, in the order of the rows.</summary>
    public IReadOnlyList<double> Times => times;

    /// <summary>Whether a time has a decimal point.</summary>
    public bool HaveFractions { get; private set; }

    /// <summary>The distinct identifiers as they are written.</summary>
    public IReadOnlySet<string> Ids => ids;

    /// <summary>Takes in a row, if its time is a number.</summary>
    public void Add(ReadOnlySpan<byte> time, ReadOnlySpan<byte> id)
    {
        HaveFractions |= time.IndexOfAny((byte)'.', (byte)',') >= 0;
        Span<byte> number = stackalloc byte[40];
        if (time.Length <= number.Length)
        {
            time.CopyTo(number);
            number[..time.Length].Replace((byte)',', (byte)'.');
            if (TimeUnitGuess.TryNumber(number[..time.Length], out var value))
            {
                times.Add(value);
                ids.Add(Encoding.UTF8.GetString(id));
            }
        }
    }
}
