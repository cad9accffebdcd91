namespace BusScope.Analysis.Learning.Writing;

/// <summary>What a file says otherwise than the captures; the file keeps its word.</summary>
/// <param name="Message">The message's name in the file.</param>
/// <param name="Key">The key.</param>
/// <param name="InFile">What the file says.</param>
/// <param name="Measured">What was learned.</param>
public sealed record BaselineDifference(string Message, string Key, string InFile, string Measured);

/// <summary>A definition file into which a baseline was merged.</summary>
/// <param name="Text">The whole text: every line of before, and what was added.</param>
/// <param name="NewMessages">Messages that the file did not have.</param>
/// <param name="TouchedMessages">Messages of the file that got keys.</param>
/// <param name="NewKeys">Keys that they got.</param>
/// <param name="Differences">What the file says otherwise.</param>
public sealed record BaselineMergeResult(string Text, int NewMessages, int TouchedMessages, int NewKeys, IReadOnlyList<BaselineDifference> Differences);
