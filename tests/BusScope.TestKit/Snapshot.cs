using System.Runtime.CompilerServices;

namespace BusScope.TestKit;

/// <summary>Compares a text with the one kept beside the test in <c>Snapshots/Class.Test.txt</c>.</summary>
public static class Snapshot
{
    /// <summary>
    /// Fails when the text differs, after writing <c>.received.txt</c> beside the kept one. Run with BUSSCOPE_ACCEPT=1 to keep the
    /// new text, then review it like code.
    /// </summary>
    public static void Match(string text, string? part = null, [CallerFilePath] string file = "", [CallerMemberName] string test = "")
    {
        var folder = Path.Combine(Path.GetDirectoryName(file)!, "Snapshots");
        var name = $"{Path.GetFileNameWithoutExtension(file)}.{test}{(part is null ? "" : "." + part)}";
        var kept = Path.Combine(folder, name + ".txt");
        var received = Path.Combine(folder, name + ".received.txt");
        var now = text.ReplaceLineEndings("\n").TrimEnd('\n') + "\n";
        if (File.Exists(kept) && File.ReadAllText(kept).ReplaceLineEndings("\n") == now)
        {
            File.Delete(received);
            return;
        }

        Directory.CreateDirectory(folder);
        if (Environment.GetEnvironmentVariable("BUSSCOPE_ACCEPT") == "1" && Environment.GetEnvironmentVariable("CI") != "true")
        {
            File.WriteAllText(kept, now);
            return;
        }

        File.WriteAllText(received, now);
        Xunit.Assert.Fail($"{(File.Exists(kept) ? "differs from" : "there is no")} {kept}\nreceived: {received}\nrun again with BUSSCOPE_ACCEPT=1 to keep it\n\n{now}");
    }
}
