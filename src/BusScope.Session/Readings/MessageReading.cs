using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Definitions;

namespace BusScope.Session.Readings;

/// <summary>Of which message more is wanted than its health.</summary>
/// <param name="Bus">The bus it was seen on.</param>
/// <param name="Id">Its identifier.</param>
/// <param name="Field">A field of it that no definition has, whose range is wanted; or null.</param>
public sealed record MessageRequest(string Bus, CanId Id, SignalDefinition? Field);

/// <summary>What more is known of a message. Immutable.</summary>
/// <param name="Request">What was asked for.</param>
/// <param name="Gaps">How the gaps between its frames lie; null before the second frame.</param>
/// <param name="Range">What the field said since it was asked for; null where none was, or before the first frame.</param>
public sealed record MessageReading(MessageRequest Request, GapDistribution? Gaps, FieldRange? Range);

/// <summary>What a field said.</summary>
/// <param name="Smallest">The smallest value.</param>
/// <param name="Largest">The largest.</param>
/// <param name="Frames">Frames that had it.</param>
public sealed record FieldRange(double Smallest, double Largest, long Frames);
