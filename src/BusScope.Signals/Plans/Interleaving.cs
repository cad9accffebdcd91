using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace BusScope.Signals.Plans;

/// <summary>Elements of two vectors in turn: the first of one, the first of the other, the second of one and so on.</summary>
internal static class Interleaving
{
    /// <summary>Of the bytes of both lower halves.</summary>
    public static Vector128<byte> LowerBytes(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackLow(left, right) : Anywhere.LowerBytes(left, right);

    /// <summary>Of the bytes of both upper halves.</summary>
    public static Vector128<byte> UpperBytes(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackHigh(left, right) : Anywhere.UpperBytes(left, right);

    /// <summary>Of the twos of bytes in both lower halves.</summary>
    public static Vector128<byte> LowerTwos(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackLow(left.AsUInt16(), right.AsUInt16()).AsByte() : Anywhere.LowerTwos(left, right);

    /// <summary>Of the twos of bytes in both upper halves.</summary>
    public static Vector128<byte> UpperTwos(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackHigh(left.AsUInt16(), right.AsUInt16()).AsByte() : Anywhere.UpperTwos(left, right);

    /// <summary>Of the fours of bytes in both lower halves.</summary>
    public static Vector128<byte> LowerFours(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackLow(left.AsUInt32(), right.AsUInt32()).AsByte() : Anywhere.LowerFours(left, right);

    /// <summary>Of the fours of bytes in both upper halves.</summary>
    public static Vector128<byte> UpperFours(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackHigh(left.AsUInt32(), right.AsUInt32()).AsByte() : Anywhere.UpperFours(left, right);

    /// <summary>Both lower halves.</summary>
    public static Vector128<byte> LowerEights(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackLow(left.AsUInt64(), right.AsUInt64()).AsByte() : Anywhere.LowerEights(left, right);

    /// <summary>Both upper halves.</summary>
    public static Vector128<byte> UpperEights(Vector128<byte> left, Vector128<byte> right) =>
        Sse2.IsSupported ? Sse2.UnpackHigh(left.AsUInt64(), right.AsUInt64()).AsByte() : Anywhere.UpperEights(left, right);

    /// <summary>The same on processors of every kind.</summary>
    internal static class Anywhere
    {
        public static Vector128<byte> LowerBytes(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenLower(left) | (Vector128.WidenLower(right) << 8)).AsByte();

        public static Vector128<byte> UpperBytes(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenUpper(left) | (Vector128.WidenUpper(right) << 8)).AsByte();

        public static Vector128<byte> LowerTwos(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenLower(left.AsUInt16()) | (Vector128.WidenLower(right.AsUInt16()) << 16)).AsByte();

        public static Vector128<byte> UpperTwos(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenUpper(left.AsUInt16()) | (Vector128.WidenUpper(right.AsUInt16()) << 16)).AsByte();

        public static Vector128<byte> LowerFours(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenLower(left.AsUInt32()) | (Vector128.WidenLower(right.AsUInt32()) << 32)).AsByte();

        public static Vector128<byte> UpperFours(Vector128<byte> left, Vector128<byte> right) =>
            (Vector128.WidenUpper(left.AsUInt32()) | (Vector128.WidenUpper(right.AsUInt32()) << 32)).AsByte();

        public static Vector128<byte> LowerEights(Vector128<byte> left, Vector128<byte> right) => Vector128.Create(left.GetLower(), right.GetLower());

        public static Vector128<byte> UpperEights(Vector128<byte> left, Vector128<byte> right) => Vector128.Create(left.GetUpper(), right.GetUpper());
    }
}
