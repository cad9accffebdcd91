using System.Runtime.InteropServices;

namespace BusScope.Cli;

/// <summary>
/// For a command that may run for long: a machine that shuts down, or a window that is closed, ends it as properly as a person's
/// Ctrl-C does.
/// </summary>
internal sealed class StopSignals : IDisposable
{
    private readonly CancellationTokenSource stop;
    private readonly PosixSignalRegistration terminate;
    private readonly PosixSignalRegistration hangUp;

    /// <summary>Listens until disposed.</summary>
    /// <param name="cancellation">What ends the command otherwise.</param>
    public StopSignals(CancellationToken cancellation)
    {
        stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, End);
        hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, End);
    }

    /// <summary>Cancelled when the command shall end.</summary>
    public CancellationToken Token => stop.Token;

    /// <inheritdoc/>
    public void Dispose()
    {
        terminate.Dispose();
        hangUp.Dispose();
        stop.Dispose();
    }

    private void End(PosixSignalContext context)
    {
        context.Cancel = true;
        stop.Cancel();
    }
}
