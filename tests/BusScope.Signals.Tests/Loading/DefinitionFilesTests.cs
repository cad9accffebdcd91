using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class DefinitionFilesTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("busscope-definitions").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_missing_file_is_named()
    {
        var fault = Assert.Single(DefinitionLoader.Load([Path.Combine(folder, "none.yaml")]).Diagnostics);

        Assert.Equal("file-missing", fault.Code);
        Assert.Contains("none.yaml", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("\0")]
    public void A_path_that_cannot_be_is_a_missing_file(string path) =>
        Assert.Equal("file-missing", Assert.Single(DefinitionLoader.Load([path]).Diagnostics).Code);

    [Fact]
    public void A_folder_without_definition_files_is_named()
    {
        Write("notes.txt", "x");

        Assert.Equal("folder-empty", Assert.Single(DefinitionLoader.Load([folder]).Diagnostics).Code);
    }

    [Fact]
    public void A_folder_gives_its_files_by_name_and_a_file_named_again_is_read_once()
    {
        Write("b.yml", "busscope: 1\ntitle: second\nbuses: { body: { bitrate: 500 kbit/s } }\n");
        var first = Write("a.yaml", "busscope: 1\ntitle: first\nbuses: { body: { bitrate: 500 kbit/s } }\n");

        var result = DefinitionLoader.Load([folder, first]);

        Assert.Empty(result.Diagnostics);
        Assert.Equal("first; second", result.Definitions!.Title);
        Assert.Equal(["body"], result.Definitions.Buses.Select(bus => bus.Name));
        Assert.Equal(2, result.Sources.Count);
    }

    [Fact]
    public void A_name_defined_differently_in_two_files_names_both_places()
    {
        var first = Write("a.yaml", "busscope: 1\nbuses: { body: { bitrate: 500 kbit/s } }\nmessages: { Speed: { id: 1 } }\n");
        var second = Write("b.yaml", "busscope: 1\nbuses: { body: { bitrate: 125 kbit/s } }\nmessages: { Speed: { id: 2 }, Other: { id: 1 } }\n");

        var faults = DefinitionLoader.Load([folder]).Diagnostics;

        Assert.Equal(["name-clash", "name-clash", "identifier-twice"], faults.Select(fault => fault.Code));
        Assert.All(faults, fault => Assert.Equal((second, first), (fault.Place.File, fault.Related!.Value.File)));
    }

    [Fact]
    public void Names_are_found_across_files()
    {
        Write("a.yaml", "busscope: 1\nmessages: { Speed: { id: 1, bus: body, from: engine } }\n");
        Write("b.yaml", "busscope: 1\nbuses: { body: }\nmodules: { engine: { alive: Speed } }\n");

        Assert.Empty(DefinitionLoader.Load([folder]).Diagnostics);
    }

    [Fact]
    public void A_file_that_cannot_be_read_does_not_make_its_names_unknown()
    {
        Write("a.yaml", "busscope: 1\nmessages: { Speed: { id: 1, bus: body } }\n");
        Write("b.yaml", "busscope: 1\nbuses: { body: \n");

        Assert.Equal(["yaml-syntax"], DefinitionLoader.Load([folder]).Diagnostics.Select(fault => fault.Code));
    }

    [Fact]
    public void Bytes_that_are_not_utf8_are_told_with_their_line()
    {
        var path = Path.Combine(folder, "latin.yaml");
        File.WriteAllBytes(path, [.. "busscope: 1\ntitle: K"u8, 0xFC, .. "hler\n"u8]);

        var fault = Assert.Single(DefinitionLoader.Load([path]).Diagnostics);

        Assert.Equal(("not-utf8", 2, 9), (fault.Code, fault.Place.Line, fault.Place.Column));
    }

    [Fact]
    public void A_byte_order_mark_is_no_fault()
    {
        var path = Path.Combine(folder, "mark.yaml");
        File.WriteAllBytes(path, [0xEF, 0xBB, 0xBF, .. "busscope: 1\n"u8]);

        Assert.Empty(DefinitionLoader.Load([path]).Diagnostics);
    }

    [Fact]
    public void A_file_that_is_too_large_is_refused_before_it_is_read_whole()
    {
        var path = Path.Combine(folder, "large.yaml");
        using (var file = File.Create(path))
        {
            file.SetLength((16L << 20) + 1);
        }

        Assert.Equal("file-too-large", Assert.Single(DefinitionLoader.Load([path]).Diagnostics).Code);
    }

    [Fact]
    public void A_file_without_permission_is_told()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows() || Environment.IsPrivilegedProcess, "this user may read everything");
        var path = Write("locked.yaml", "busscope: 1\n");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(path, UnixFileMode.None);
        }

        Assert.Equal("file-unreadable", Assert.Single(DefinitionLoader.Load([path]).Diagnostics).Code);
    }

    [Fact]
    public void A_file_that_fails_while_it_is_read_is_told()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "reads a file of the Linux kernel that refuses reading at its start");

        var fault = Assert.Single(DefinitionLoader.Load(["/proc/self/mem"]).Diagnostics);

        Assert.Equal(("file-unreadable", Severity.Error), (fault.Code, fault.Severity));
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
