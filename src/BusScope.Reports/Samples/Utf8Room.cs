using System.Buffers.Text;
using System.Globalization;
using BusScope.Frames;

namespace BusScope.Reports.Samples;

/// <summary>
/// A fixed room of UTF-8 that is handed to a stream when full: the values of a capture are written without one string
/// being made. Not for several threads.
/// </summary>
internal sealed class Utf8Room(Stream output)
{
    // Long enough that a number, a time or a separator always fits behind a check.
    private const int Reserve = 64;
    private const int NanosecondDigits = 9;

    private readonly byte[] room = new byte[64 * 1024];
    private int used;

    public void Write(byte single)
    {
        Ensure(1);
        room[used++] = single;
    }

    public void Write(ReadOnlySpan<byte> text)
    {
        while (!text.IsEmpty)
        {
            Ensure(1);
            var part = text[..Math.Min(text.Length, room.Length - used)];
            part.CopyTo(room.AsSpan(used));
            used += part.Length;
            text = text[part.Length..];
        }
    }

    public void Write(ulong number)
    {
        Ensure(Reserve);
        _ = Utf8Formatter.TryFormat(number, room.AsSpan(used), out var written);
        used += written;
    }

    /// <summary>The shortest digits that read back as the same number.</summary>
    public void Write(double number)
    {
        Ensure(Reserve);
        _ = number.TryFormat(room.AsSpan(used), out var written, default, CultureInfo.InvariantCulture);
        used += written;
    }

    /// <summary>Seconds with nine decimals, exact.</summary>
    public void Write(FrameTime time)
    {
        Ensure(Reserve);
        var nanoseconds = time.Nanoseconds;
        if (nanoseconds < 0)
        {
            room[used++] = (byte)'-';
        }

        // The magnitude of the smallest number does not fit a signed one.
        var magnitude = nanoseconds < 0 ? (ulong)(-(nanoseconds + 1)) + 1 : (ulong)nanoseconds;
        var (seconds, rest) = Math.DivRem(magnitude, (ulong)FrameSpan.NanosecondsPerSecond);
        _ = Utf8Formatter.TryFormat(seconds, room.AsSpan(used), out var written);
        used += written;
        room[used] = (byte)'.';
        for (var i = NanosecondDigits; i > 0; i--)
        {
            (rest, var digit) = Math.DivRem(rest, 10);
            room[used + i] = (byte)('0' + digit);
        }

        used += NanosecondDigits + 1;
    }

    /// <summary>Characters as they are; a lone surrogate becomes the replacement character.</summary>
    public void Write(ReadOnlySpan<char> text)
    {
        Span<byte> bytes = stackalloc byte[8];
        foreach (var rune in text.EnumerateRunes())
        {
            Write(bytes[..rune.EncodeToUtf8(bytes)]);
        }
    }

    public void Flush()
    {
        output.Write(room, 0, used);
        used = 0;
        output.Flush();
    }

    private void Ensure(int bytes)
    {
        if (room.Length - used < bytes)
        {
            output.Write(room, 0, used);
            used = 0;
        }
    }
}
