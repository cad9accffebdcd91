using BusScope.Frames;
using BusScope.Transport.Adapters;

namespace BusScope.Transport.Pcan;

/// <summary>A channel that an adapter is plugged in for.</summary>
/// <param name="Name">Its name: <c>usb1</c>.</param>
/// <param name="IsFree">Whether it can be opened.</param>
/// <param name="IsTaken">Whether another program has it.</param>
/// <param name="Hardware">What the adapter calls itself, or null.</param>
public readonly record struct PcanChannel(string Name, bool IsFree, bool IsTaken, string? Hardware);

/// <summary>What the maker's library knows to be plugged in. Asking opens nothing.</summary>
public static class PcanChannels
{
    private const uint Taken = 0x02; // PCAN_CHANNEL_OCCUPIED

    /// <summary>The channels with an adapter.</summary>
    /// <param name="libraryPath">Where the library is; null for where the system looks.</param>
    /// <exception cref="SourceException">The library is not installed, or cannot be loaded; the message says why.</exception>
    public static IReadOnlyList<PcanChannel> List(string? libraryPath)
    {
        var library = PcanLibrary.Load(libraryPath ?? PcanLibrary.UsualName);
        var found = new List<PcanChannel>();
        Span<byte> condition = stackalloc byte[sizeof(uint)];
        foreach (var (name, channel) in PcanAddress.AllChannels)
        {
            condition.Clear();
            if (library.Get(channel, PcanParameter.ChannelCondition, condition) == PcanStatus.Ok && condition[0] != 0)
            {
                found.Add(new PcanChannel(name, (condition[0] & PcanLayout.Available) != 0, (condition[0] & Taken) != 0, library.HardwareName(channel)));
            }
        }

        return found;
    }

    /// <summary>The same for the list of adapters. That the library is not installed is no fault: most machines need none.</summary>
    /// <param name="libraryPath">Where the library is; null for where the system looks.</param>
    public static AdapterList Adapters(string? libraryPath)
    {
        try
        {
            return new AdapterList([.. List(libraryPath).Select(Adapter)]);
        }
        catch (SourceException e)
        {
            var isAbsent = libraryPath is null && e.InnerException is DllNotFoundException && !File.Exists(PcanLibrary.UsualName);
            return new AdapterList([]) { Notes = isAbsent ? [] : [e.Message] };
        }
    }

    private static Adapter Adapter(PcanChannel channel) => new($"pcan:{channel.Name}", $"{channel.Hardware ?? "adapter"}, by PCAN-Basic")
    {
        IsReady = channel.IsFree,
        State = channel.IsFree ? "free" : channel.IsTaken ? "taken" : "not ready",
        Notes = channel.IsTaken ? ["another program has it; it can be opened at that program's bit rate only"] : [],
    };
}
