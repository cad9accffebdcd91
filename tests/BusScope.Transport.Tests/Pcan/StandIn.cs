using System.Diagnostics;
using System.Runtime.InteropServices;
using System.Text;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Transport.Tests.Pcan;

/// <summary>The native library that stands in for the maker's (standin.c), compiled once for all tests.</summary>
internal sealed class StandIn
{
    private static readonly Lazy<string?> compiled = new(() => Compile("standin", File.ReadAllText(RepoFiles.Path("tests", "BusScope.Transport.Tests", "Pcan", "standin.c"))));

    private readonly Put put;
    private readonly Tell tell;
    private readonly Notes notes;

    /// <summary>The library as it is in the beginning; skips the test where there is no compiler.</summary>
    public StandIn()
    {
        Path = compiled.Value ?? throw Missing();
        var library = NativeLibrary.Load(Path);
        put = Find<Put>(library, "standin_put");
        tell = Find<Tell>(library, "standin_tell");
        notes = Find<Notes>(library, "standin_notes");
        Find<Reset>(library, "standin_reset")();
    }

    private delegate void Reset();

    private delegate void Put(uint id, byte type, byte length, ref byte data, ulong microseconds);

    private delegate void Tell([MarshalAs(UnmanagedType.LPStr)] string what, uint value);

    private delegate void Notes(ref byte buffer, uint length);

    /// <summary>Where it is.</summary>
    public string Path { get; }

    /// <summary>Puts a message into the receive queue.</summary>
    public void Give(uint id, byte type, byte length, string hex, ulong microseconds)
    {
        var data = new byte[64];
        Some.Bytes(hex).CopyTo(data, 0);
        put(id, type, length, ref data[0], microseconds);
    }

    /// <summary>Tells it how to behave from now on.</summary>
    public void Be(string what, uint value) => tell(what, value);

    /// <summary>The calls so far, with their arguments.</summary>
    public string[] Calls
    {
        get
        {
            var buffer = new byte[16384];
            notes(ref buffer[0], (uint)buffer.Length);
            return Encoding.ASCII.GetString(buffer).TrimEnd('\0').Split('\n', StringSplitOptions.RemoveEmptyEntries);
        }
    }

    /// <summary>Compiles a native library; null where there is no compiler.</summary>
    public static string? Compile(string name, string text)
    {
        if (OperatingSystem.IsWindows() || !Environment.GetEnvironmentVariable("PATH")!.Split(System.IO.Path.PathSeparator).Any(folder => File.Exists(System.IO.Path.Combine(folder, "gcc"))))
        {
            return null;
        }

        var folder = System.IO.Path.Combine(AppContext.BaseDirectory, "native");
        Directory.CreateDirectory(folder);
        var source = System.IO.Path.Combine(folder, $"{name}.c");
        var library = System.IO.Path.Combine(folder, $"{name}.so");
        File.WriteAllText(source, text);
        using var gcc = Process.Start(new ProcessStartInfo("gcc", ["-shared", "-fPIC", "-Wall", "-Werror", "-o", library, source]) { RedirectStandardError = true })!;
        var errors = gcc.StandardError.ReadToEnd();
        gcc.WaitForExit();
        Assert.True(gcc.ExitCode == 0, errors);
        return library;
    }

    /// <summary>What is said where there is no compiler: aloud where everything must be tested.</summary>
    public static Exception Missing() => Environment.GetEnvironmentVariable("CI") == "true"
        ? new InvalidOperationException("gcc is not installed, and the native library that stands in for the maker's cannot be tested")
        : Xunit.Sdk.SkipException.ForSkip("gcc is not installed");

    private static T Find<T>(nint library, string name)
        where T : Delegate => Marshal.GetDelegateForFunctionPointer<T>(NativeLibrary.GetExport(library, name));
}
