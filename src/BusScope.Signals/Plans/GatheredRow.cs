namespace BusScope.Signals.Plans;

/// <summary>A frame of at most eight bytes on its way to a <see cref="MessageBlock"/>: sixteen bytes that are written at once.</summary>
/// <param name="Time">When it was received, nanoseconds.</param>
/// <param name="FirstEight">The payload as a little-endian number, zero past its length.</param>
public readonly record struct GatheredRow(long Time, ulong FirstEight);
