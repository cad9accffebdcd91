using System.Globalization;
using BusScope.Frames;
using BusScope.Transport.Adapters;

namespace BusScope.Transport.Kernel;

/// <summary>An interface that shall be opened.</summary>
/// <param name="Name">Its name: <c>can0</c>.</param>
/// <param name="Bus">What its bus is called, or null for the interface's own name.</param>
public readonly record struct WantedInterface(string Name, string? Bus);

/// <summary>The CAN interfaces of the system: what there is, and opening them.</summary>
public static class KernelAdapters
{
    private const string Listed = "'busscope adapters' lists what there is";

    // Where the kernel shows its interfaces, one folder each.
    private const string Folder = "/sys/class/net";

    /// <summary>Whether the system has a network interface of this name, CAN or not.</summary>
    public static bool Exists(string name) => name.IndexOfAny(['/', '\0']) < 0 && name is not ("" or "." or "..") && Directory.Exists(Path.Combine(Folder, name));

    /// <summary>All CAN interfaces, and what is wrong with each; a note where the system has none at all.</summary>
    public static IReadOnlyList<Adapter> List()
    {
        if (!OperatingSystem.IsLinux())
        {
            return [];
        }

        using var kernel = new LinuxKernel();
        return [.. kernel.Interfaces().Where(link => link.IsCan).OrderBy(link => link.Name, StringComparer.Ordinal).Select(link => KernelAdvice.Of(link, DriverOf(link.Name), null))];
    }

    /// <summary>Why no CAN interface could be opened here, whichever it is: the kernel's own part is missing; or null.</summary>
    /// <returns>What is wrong and what to type.</returns>
    public static (string Note, string Command)? MissingSupport()
    {
        if (!OperatingSystem.IsLinux())
        {
            return null;
        }

        // Interface 0 stands for all: it can be bound without any being there.
        using var socket = CanSocket.Open(0, out var error);
        return error switch
        {
            Errno.NoFamily => ("this kernel has no CAN support loaded", "modprobe can-raw"),
            Errno.NoProtocol => ("the kernel's module for raw CAN frames is not loaded", "modprobe can-raw"),
            Errno.NotPermitted or Errno.NoAccess => ("this user may not open CAN sockets", "run it as a user who may, or outside the container"),
            _ => null,
        };
    }

    /// <summary>Opens interfaces as one live source.</summary>
    /// <param name="wanted">Which ones, each once.</param>
    /// <param name="time">The system's time.</param>
    /// <exception cref="SourceException">One is not there, is no CAN interface, is switched off, or may not be opened.</exception>
    public static KernelSource Open(IReadOnlyList<WantedInterface> wanted, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        var kernel = new LinuxKernel();
        var opened = new List<(Bus, KernelInterface, ICanSocket)>();
        var notes = new List<string>();
        try
        {
            var links = kernel.Interfaces();
            foreach (var each in wanted)
            {
                var link = Find(links, each.Name);
                var socket = OpenOne(kernel, link);
                opened.Add((BusOf(each, link), link, socket));
                notes.AddRange(Notes(link, socket));
            }

            return new KernelSource(kernel, opened, time) { Notes = notes };
        }
        catch
        {
            opened.ForEach(each => each.Item3.Dispose());
            kernel.Dispose();
            throw;
        }
    }

    /// <summary>What a person should know of an interface, and what to type about it.</summary>
    /// <param name="link">The interface.</param>
    /// <param name="driver">The driver's name, or null.</param>
    /// <param name="bitRate">Bits per second that the person or the definitions named, or null.</param>
    public static Adapter Advise(KernelInterface link, string? driver, long? bitRate) => KernelAdvice.Of(link, driver, bitRate);

    /// <summary>Sets bit rate and listen-only mode and switches the interface on: only when a person asked for it.</summary>
    /// <param name="name">The interface.</param>
    /// <param name="bitRate">Bits per second; may be null where one is set already.</param>
    /// <param name="dataBitRate">Bits per second of the data phase, or null.</param>
    /// <exception cref="SourceException">It cannot be set up so.</exception>
    public static void SetUp(string name, long? bitRate, long? dataBitRate)
    {
        using var kernel = new LinuxKernel();
        var link = Find(kernel.Interfaces(), name);
        if (!link.IsController)
        {
            throw new SourceException($"{name}: {KernelAdvice.Of(link, null, null).Kind}: it has no bit rate and needs no set-up");
        }

        if (link.CanListenOnly == false)
        {
            throw new SourceException($"{name}: its driver knows no listen-only mode, so it is left as it was");
        }

        var rate = bitRate ?? link.BitRate ?? throw new SourceException($"{name}: cannot be set up without a bit rate: name it with --bitrate, or as the bit-rate of the bus in the definitions");
        if (kernel.SetUp(link, rate, dataBitRate ?? link.DataBitRate) is var error and not 0)
        {
            throw new SourceException(error switch
            {
                Errno.NotPermitted or Errno.NoAccess => $"{name}: this user may not set up interfaces; as one who may (root, or with the capability CAP_NET_ADMIN): {string.Join("; ", KernelAdvice.Commands(link, rate))}",
                Errno.NotSupported => $"{name}: its driver knows no listen-only mode, so it is left as it was",
                Errno.Invalid or Errno.OutOfDomain or Errno.OutOfRange => $"{name}: its controller cannot make a bit rate of {BitRateText.Of(rate, dataBitRate)}",
                _ => string.Create(CultureInfo.InvariantCulture, $"{name}: the kernel refused to set it up (error {error})"),
            });
        }
    }

    private static IEnumerable<string> Notes(KernelInterface link, CanSocket socket)
    {
        var advice = KernelAdvice.Of(link, null, null);
        foreach (var note in advice.Notes)
        {
            yield return $"{link.Name}: {note}";
        }

        if (advice.Commands.Count > 0)
        {
            yield return $"{link.Name}: to make it only listen ('--set-up' does it for who may): {string.Join("; ", advice.Commands)}";
        }

        if (socket.Room < CanSocket.WantedRoom)
        {
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"{link.Name}: the kernel keeps only some {socket.Room / CanSocket.RoomOfFrame} frames until they are read; for a second of a full bus: sysctl -w net.core.rmem_max={CanSocket.WantedRoom / 2}");
        }
    }

    private static KernelInterface Find(IReadOnlyList<KernelInterface> links, string name)
    {
        var link = links.FirstOrDefault(link => link.Name == name)
            ?? throw new SourceException($"{name}: there is no such interface; {Listed}");
        return link.IsCan ? link : throw new SourceException($"{name}: is a network interface, but not one for CAN; {Listed}");
    }

    private static Bus BusOf(WantedInterface wanted, KernelInterface link) => new(wanted.Bus ?? wanted.Name)
    {
        BitRate = link.BitRate,
        DataBitRate = link.DataBitRate,
        Description = $"{link.Name}, {KernelAdvice.Of(link, DriverOf(link.Name), null).Kind}",
    };

    private static CanSocket OpenOne(LinuxKernel kernel, KernelInterface link)
    {
        if (!link.IsUp)
        {
            var advice = KernelAdvice.Of(link, null, null);
            throw new SourceException($"{link.Name}: is switched off; switch it on ('--set-up' does it for who may): {string.Join("; ", advice.Commands)}");
        }

        return kernel.Open(link.Index, out var error) as CanSocket ?? throw new SourceException(error switch
        {
            Errno.NotPermitted or Errno.NoAccess => $"{link.Name}: this user may not open CAN sockets",
            Errno.NoFamily or Errno.NoProtocol => $"{link.Name}: the kernel's module for raw CAN frames is not loaded: modprobe can-raw",
            Errno.NoDevice => $"{link.Name}: there is no such interface any more; {Listed}",
            _ => string.Create(CultureInfo.InvariantCulture, $"{link.Name}: cannot be opened (error {error})"),
        });
    }

    private static string? DriverOf(string name)
    {
        try
        {
            return Path.GetFileName(new FileInfo(Path.Combine(Folder, name, "device", "driver")).LinkTarget);
        }
        catch (IOException)
        {
            return null;
        }
        catch (UnauthorizedAccessException)
        {
            return null;
        }
    }
}
