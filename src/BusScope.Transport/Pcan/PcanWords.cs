namespace BusScope.Transport.Pcan;

/// <summary>What a status of the library means to the person who plugged the adapter in, and what to do about it.</summary>
internal static class PcanWords
{
    /// <summary>Why a channel cannot be opened, to follow <c>pcan:usb1: </c>.</summary>
    public static string NotOpened(PcanStatus status, PcanLibrary library) =>
        Has(status, PcanStatus.NoDriver) ? "the adapter's driver is not loaded; install or start it"
        : Has(status, PcanStatus.BadHandle) || Has(status, PcanStatus.NoHardwareFound) ? "no adapter is plugged in under this name"
        : Has(status, PcanStatus.HardwareInUse) || Has(status, PcanStatus.NetInUse) ? "another program has the channel; close that program"
        : Has(status, PcanStatus.Caution) ? "another program has put the channel on the bus at another bit rate; close that program"
        : Has(status, PcanStatus.BadParameter) || Has(status, PcanStatus.BadValue) ? $"the adapter cannot run so: {library.TextOf(status)}; CAN FD needs an adapter for CAN FD"
        : $"cannot be opened: {library.TextOf(status)}";

    /// <summary>Whether a status says that the adapter has been unplugged, or its driver has gone.</summary>
    public static bool IsGone(PcanStatus status) =>
        Has(status, PcanStatus.BadHandle) || Has(status, PcanStatus.NoDriver) || Has(status, PcanStatus.NotInitialized) || Has(status, PcanStatus.NoHardwareFound);

    /// <summary>Whether a status has all bits of another one.</summary>
    public static bool Has(PcanStatus status, PcanStatus part) => (status & part) == part;
}
