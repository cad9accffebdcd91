using System.Runtime.ExceptionServices;

namespace BusScope.Session;

/// <summary>Work on a thread of our own: whatever goes wrong there must not end the program before the screen has given the terminal back.</summary>
internal static class OwnThread
{
    /// <summary>Does the work on the calling thread.</summary>
    /// <param name="work">Takes the token that ends it.</param>
    /// <param name="stop">Ends it; that it was ended is no fault.</param>
    /// <returns>A fault of our own, to be thrown again where the program ends; or null.</returns>
    public static ExceptionDispatchInfo? Run(Action<CancellationToken> work, CancellationToken stop)
    {
        try
        {
            work(stop);
            return null;
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            return null;
        }
#pragma warning disable CA1031 // Whatever it is: it is thrown again.
        catch (Exception e)
#pragma warning restore CA1031
        {
            return ExceptionDispatchInfo.Capture(e);
        }
    }
}
