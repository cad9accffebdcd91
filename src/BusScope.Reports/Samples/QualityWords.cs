using BusScope.Signals.Plans;

namespace BusScope.Reports.Samples;

/// <summary>The words for a value's quality, as bytes.</summary>
internal static class QualityWords
{
    public static ReadOnlySpan<byte> Of(SampleQuality quality) => quality switch
    {
        SampleQuality.Ok => "ok"u8,
        SampleQuality.NotAvailable => "not-available"u8,
        SampleQuality.Error => "error"u8,
        SampleQuality.OutOfRange => "out-of-range"u8,
        SampleQuality.Implausible => "implausible"u8,
        SampleQuality.Stale => "stale"u8,
        _ => "absent"u8,
    };
}
