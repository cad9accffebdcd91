using System.Runtime.InteropServices;
using System.Text;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Pcan;

/// <summary>
/// The maker's native library, PCAN-Basic: the only calls into it, loaded when an adapter is asked for and never before. All that
/// is used is what PCANBasic.h declares for receiving; the calls that send are not declared here, so that nothing can use them.
/// Buffers are handed over as their first byte; <see cref="PcanLayout"/> says what stands in them.
/// </summary>
internal sealed class PcanLibrary
{
    private const ushort English = 0x09;
    private const int TextLength = 256;

    private readonly InitializeCall initialize;
    private readonly InitializeFlexibleCall initializeFlexible;
    private readonly ChannelCall uninitialize;
    private readonly ChannelCall status;
    private readonly ReadCall read;
    private readonly ReadCall readFlexible;
    private readonly ValueCall set;
    private readonly ValueCall get;
    private readonly TextCall text;

    private PcanLibrary(nint library)
    {
        initialize = Find<InitializeCall>(library, "CAN_Initialize");
        initializeFlexible = Find<InitializeFlexibleCall>(library, "CAN_InitializeFD");
        uninitialize = Find<ChannelCall>(library, "CAN_Uninitialize");
        status = Find<ChannelCall>(library, "CAN_GetStatus");
        read = Find<ReadCall>(library, "CAN_Read");
        readFlexible = Find<ReadCall>(library, "CAN_ReadFD");
        set = Find<ValueCall>(library, "CAN_SetValue");
        get = Find<ValueCall>(library, "CAN_GetValue");
        text = Find<TextCall>(library, "CAN_GetErrorText");
    }

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus InitializeCall(ushort channel, ushort timing, byte type, uint port, ushort interrupt);

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus InitializeFlexibleCall(ushort channel, ref byte timing);

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus ChannelCall(ushort channel);

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus ReadCall(ushort channel, ref byte message, ref byte time);

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus ValueCall(ushort channel, byte parameter, ref byte buffer, uint length);

    [UnmanagedFunctionPointer(CallingConvention.StdCall)]
    private delegate PcanStatus TextCall(PcanStatus error, ushort language, ref byte buffer);

    /// <summary>What the library is called on this system.</summary>
    public static string UsualName => OperatingSystem.IsWindows() ? "PCANBasic.dll" : "libpcanbasic.so";

    /// <summary>Loads the library.</summary>
    /// <param name="path">A path, or a name to be found where the system looks for libraries.</param>
    /// <exception cref="SourceException">It is not there, not for this machine, or not all of it is there.</exception>
    public static PcanLibrary Load(string path)
    {
        try
        {
            return new PcanLibrary(NativeLibrary.Load(path));
        }
        catch (EntryPointNotFoundException e)
        {
            throw new SourceException($"the library {path} is too old, or is another one: it lacks a function of PCAN-Basic; install the maker's current one", e);
        }
        catch (Exception e) when (e is BadImageFormatException || (e is DllNotFoundException && File.Exists(path)))
        {
            throw new SourceException($"the library {path} cannot be loaded: it is not made for {Machine} programs, or lacks others that it needs", e);
        }
        catch (DllNotFoundException e)
        {
            throw new SourceException($"the maker's library {path} is not installed here for {Machine} programs; it comes with the adapter's driver package (PCAN-Basic)", e);
        }
    }

    // A library of the system for another machine is not found at all.
    private static string Machine => $"{(OperatingSystem.IsWindows() ? "Windows" : "Linux")} {RuntimeInformation.ProcessArchitecture}";

    /// <summary>Puts a channel on the bus, Classical CAN only.</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="timing">BTR0 and BTR1.</param>
    public PcanStatus Initialize(ushort channel, ushort timing) => initialize(channel, timing, 0, 0, 0);

    /// <summary>Puts a channel on the bus, with CAN FD.</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="timing">The bit timing, as PCANBasic.h describes it.</param>
    public PcanStatus InitializeFlexible(ushort channel, string timing) => initializeFlexible(channel, ref Encoding.ASCII.GetBytes(timing + "\0")[0]);

    /// <summary>Takes a channel off the bus.</summary>
    public PcanStatus Uninitialize(ushort channel) => uninitialize(channel);

    /// <summary>How a channel stands.</summary>
    public PcanStatus StatusOf(ushort channel) => status(channel);

    /// <summary>Reads one message.</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="isFlexible">Whether it was put on the bus with CAN FD.</param>
    /// <param name="message">At least <see cref="PcanLayout.LongestMessage"/> bytes.</param>
    /// <param name="time">At least <see cref="PcanLayout.TimeLength"/> bytes.</param>
    public PcanStatus Read(ushort channel, bool isFlexible, Span<byte> message, Span<byte> time) =>
        (isFlexible ? readFlexible : read)(channel, ref message[0], ref time[0]);

    /// <summary>Sets a parameter.</summary>
    public PcanStatus Set(ushort channel, PcanParameter parameter, Span<byte> value) => set(channel, (byte)parameter, ref value[0], (uint)value.Length);

    /// <summary>Gets a parameter.</summary>
    public PcanStatus Get(ushort channel, PcanParameter parameter, Span<byte> value) => get(channel, (byte)parameter, ref value[0], (uint)value.Length);

    /// <summary>The library's own words for a status, made safe for a terminal.</summary>
    public string TextOf(PcanStatus error)
    {
        Span<byte> buffer = stackalloc byte[TextLength];
        buffer.Clear();
        return text(error, English, ref buffer[0]) == PcanStatus.Ok ? Words(buffer) : $"status 0x{(uint)error:X}";
    }

    /// <summary>What the adapter of a channel calls itself, made safe for a terminal; null where it does not tell.</summary>
    public string? HardwareName(ushort channel)
    {
        Span<byte> name = stackalloc byte[PcanLayout.NameLength];
        name.Clear();
        return Get(channel, PcanParameter.HardwareName, name) == PcanStatus.Ok ? Words(name) : null;
    }

    private static string Words(ReadOnlySpan<byte> buffer) =>
        CleanText.Clean(Encoding.Latin1.GetString(buffer.IndexOf((byte)0) is var end and >= 0 ? buffer[..end] : buffer).Trim());

    private static T Find<T>(nint library, string name)
        where T : Delegate => Marshal.GetDelegateForFunctionPointer<T>(NativeLibrary.GetExport(library, name));
}
