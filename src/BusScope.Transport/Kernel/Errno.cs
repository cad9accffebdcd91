namespace BusScope.Transport.Kernel;

/// <summary>Error numbers of the kernel that mean something of their own here (include/uapi/asm-generic/errno.h).</summary>
internal static class Errno
{
    /// <summary>EPERM.</summary>
    public const int NotPermitted = 1;

    /// <summary>EINTR.</summary>
    public const int Interrupted = 4;

    /// <summary>EAGAIN.</summary>
    public const int TryAgain = 11;

    /// <summary>EACCES.</summary>
    public const int NoAccess = 13;

    /// <summary>EBUSY.</summary>
    public const int Busy = 16;

    /// <summary>ENODEV.</summary>
    public const int NoDevice = 19;

    /// <summary>EINVAL.</summary>
    public const int Invalid = 22;

    /// <summary>EDOM.</summary>
    public const int OutOfDomain = 33;

    /// <summary>ERANGE.</summary>
    public const int OutOfRange = 34;

    /// <summary>EPROTONOSUPPORT.</summary>
    public const int NoProtocol = 93;

    /// <summary>EOPNOTSUPP.</summary>
    public const int NotSupported = 95;

    /// <summary>EAFNOSUPPORT.</summary>
    public const int NoFamily = 97;

    /// <summary>ENETDOWN.</summary>
    public const int NetworkDown = 100;

    /// <summary>ENOBUFS.</summary>
    public const int NoRoom = 105;
}
