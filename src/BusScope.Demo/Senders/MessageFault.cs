namespace BusScope.Demo.Senders;

/// <summary>What goes wrong with one message of a story.</summary>
/// <param name="Message">The message's name.</param>
internal abstract record MessageFault(string Message)
{
    /// <summary>It is never sent.</summary>
    public sealed record Absent(string Message) : MessageFault(Message);

    /// <summary>Its counter stands still.</summary>
    public sealed record CounterFrozen(string Message) : MessageFault(Message);

    /// <summary>Its checksum is computed with the wrong recipe.</summary>
    public sealed record ChecksumWrong(string Message) : MessageFault(Message);

    /// <summary>A signal is always sent as "not available".</summary>
    public sealed record Unavailable(string Message, string Signal) : MessageFault(Message);

    /// <summary>It comes too rarely by a factor.</summary>
    public sealed record TooSlow(string Message, double Factor) : MessageFault(Message);

    /// <summary>A signal is sent in another unit: value × scale + offset.</summary>
    public sealed record WrongScale(string Message, string Signal, double Scale, double Offset) : MessageFault(Message);

    /// <summary>It is sent too short or too long.</summary>
    public sealed record WrongLength(string Message, int Length) : MessageFault(Message);

    /// <summary>Another module sends it too.</summary>
    public sealed record SecondSender(string Message, string Module) : MessageFault(Message);
}
