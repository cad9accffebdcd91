namespace BusScope.Cli;

/// <summary>What a person asked for cannot be done as asked: told in one sentence, status 2.</summary>
/// <param name="message">What is wrong, and what would be right.</param>
internal sealed class UsageException(string message) : Exception(message);
