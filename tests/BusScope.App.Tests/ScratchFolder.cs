namespace BusScope.App.Tests;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class ScratchFolder : IDisposable
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("busscope-");

    /// <summary>The folder.</summary>
    public string Path => folder.FullName;

    /// <summary>Writes a file and gives its path.</summary>
    public string Write(string name, string text)
    {
        var path = File(name);
        System.IO.File.WriteAllText(path, text);
        return path;
    }

    /// <summary>The path of a file that may not exist.</summary>
    public string File(string name) => System.IO.Path.Combine(folder.FullName, name);

    public void Dispose() => folder.Delete(recursive: true);
}
