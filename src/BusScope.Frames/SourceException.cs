namespace BusScope.Frames;

/// <summary>A source cannot be opened or cannot go on: the world's fault, told to the user in one sentence.</summary>
public sealed class SourceException : Exception
{
    /// <summary>A failure without further words.</summary>
    public SourceException()
    {
    }

    /// <summary>A failure, told in one sentence that names the source and the place.</summary>
    public SourceException(string message)
        : base(message)
    {
    }

    /// <summary>A failure with its cause.</summary>
    public SourceException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
