using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Conditions;

/// <summary>
/// Finds the states of the car on which messages depend. Where several messages come and go together, a bit of a message that is always there
/// may tell when: one that would have disappointed no expectation, and agrees with their presence nearly all the time.
/// </summary>
internal static class ConditionFinder
{
    /// <summary>One message that comes and goes with a bit is chance; several are a state of the car.</summary>
    private const int FewestMessages = 2;

    /// <summary>A message that is sent more seldom tells a state too late to be gone by.</summary>
    private static readonly FrameSpan LongestPeriod = FrameSpan.FromMilliseconds(250);

    /// <summary>Where bits cannot be told apart, so many of different messages are taken together, all but one of which must say so; all where none was seen to change.</summary>
    private const int MostBits = 5;

    /// <summary>What it is worth to explain a message at all, beside how well: 0.15 is the most that can be added.</summary>
    private const double Worth = 0.05;

    /// <summary>A further bit must explain this part of what the first one explains.</summary>
    private const double AlikeShare = 0.9;

    /// <summary>The conditions, by index of the message that depends on each.</summary>
    /// <param name="messages">What was learned so far.</param>
    /// <param name="bits">For each message, when its bits changed.</param>
    public static IReadOnlyDictionary<int, LearnedCondition> Find(IReadOnlyList<LearnedMessage> messages, IReadOnlyList<BitHistory> bits)
    {
        var open = Enumerable.Range(0, messages.Count)
            .Where(i => messages[i] is { Timing.Period: not null, Attendance: { IsWhole: false, IsRestless: false } } && WasProved(messages[i]))
            .ToHashSet();
        var found = new Dictionary<int, LearnedCondition>();
        if (open.Count < FewestMessages)
        {
            return found;
        }

        var states = Enumerable.Range(0, messages.Count).Where(i => IsAlwaysThere(messages[i])).SelectMany(i => StatesOf(messages[i], bits[i])).ToList();
        var explained = states.Select(state => Explained(state, messages, open)).ToList();
        var closest = Closest(explained, states, messages);

        // First each message by the states that agree with it best, so that what comes with the key is not taken for what comes with the running engine.
        foreach (var by in (List<Dictionary<int, double>>[])[closest, explained])
        {
            while (Best(by, open) is var best and >= 0)
            {
                Take(best, by);
            }
        }

        return found;

        void Take(int best, List<Dictionary<int, double>> by)
        {
            var served = by[best].Keys.Where(open.Contains).ToHashSet();
            var chosen = new List<int> { best };
            if (states[best].Turns <= 1)
            {
                // Whoever saw a state begin but never end does not know which of the bits that turned then will turn back with it; still less who saw it differ between captures only.
                AddAlike(chosen, states, explained, served);
                served.RemoveWhere(message => chosen.Exists(i => !explained[i].ContainsKey(message)));
            }

            var condition = new LearnedCondition([.. chosen.Select(i => states[i].Bit)], states[best].Turns, served.Count);
            foreach (var message in served)
            {
                found[message] = condition;
            }

            open.ExceptWith(served);
        }
    }

    // An expectation that nothing in the captures could have disappointed is none: the message must have been there for longer than its stale time.
    private static bool WasProved(LearnedMessage message) => message.Attendance!.PresentTime >= message.Timing.StaleAfter;

    private static bool IsAlwaysThere(LearnedMessage message) =>
        message is { Timing.Period: { } period, Attendance.IsWhole: true, OtherLengths: 0 } && period <= LongestPeriod;

    private static IEnumerable<BitState> StatesOf(LearnedMessage message, BitHistory bits)
    {
        foreach (var bit in bits.SeldomChanged)
        {
            if (IsProtection(message, bit))
            {
                continue;
            }

            // A number that crosses a power of two turns a bit once; a state that was left and entered again is known by that.
            var turns = bits.TurnsOf(bit);
            if (turns.Count - message.Attendance!.Seen.Count <= 1 && bits.IsPartOfNumber(bit))
            {
                continue;
            }

            foreach (var isSet in (bool[])[true, false])
            {
                yield return new BitState(new SwitchBit(message.Bus, message.Id, bit / 8, bit % 8, isSet), turns, message.Attendance!.Seen);
            }
        }
    }

    private static bool IsProtection(LearnedMessage message, int bit)
    {
        var fields = message.FurtherCounters.Append(message.Counter).OfType<Counters.FoundCounter>().Select(counter => counter.Definition.Field);
        fields = (message.Checksum?.Definition?.Field ?? message.Checksum?.Suspect) is { } check ? fields.Append(check) : fields;
        var position = new BitPosition(bit / 8, bit % 8);
        return fields.Any(field => field.Holds(position));
    }

    private static Dictionary<int, double> Explained(BitState state, IReadOnlyList<LearnedMessage> messages, HashSet<int> open)
    {
        var scores = new Dictionary<int, double>();
        foreach (var i in open)
        {
            if (state.Explains(messages[i].Timing, messages[i].Attendance!) is { } score)
            {
                scores.Add(i, score);
            }
        }

        return scores;
    }

    // Of what each state explains, the messages with which no other state agrees much better: by more than what it is told late, turn by turn.
    private static List<Dictionary<int, double>> Closest(List<Dictionary<int, double>> explained, List<BitState> states, IReadOnlyList<LearnedMessage> messages)
    {
        var most = explained.SelectMany(scores => scores).GroupBy(pair => pair.Key).ToDictionary(group => group.Key, group => group.Max(pair => pair.Value));
        return [.. explained.Select((scores, i) => scores.Where(pair => (most[pair.Key] - pair.Value) * TimeOf(messages[pair.Key]) <= LongestPeriod.Seconds * Math.Max(1, states[i].Turns)).ToDictionary())];

        static double TimeOf(LearnedMessage message) => message.Attendance!.Seen.Sum(bus => bus.Length.Seconds);
    }

    // The state that explains most, each message by how much better than needed; of those, the first, so that the outcome is always the same.
    private static int Best(List<Dictionary<int, double>> explained, HashSet<int> open)
    {
        var (best, most) = (-1, 0.0);
        for (var i = 0; i < explained.Count; i++)
        {
            var scores = explained[i].Where(pair => open.Contains(pair.Key)).Select(pair => pair.Value - BitState.LeastAgreement + Worth).ToList();
            if (scores.Count >= FewestMessages && scores.Sum() > most)
            {
                (best, most) = (i, scores.Sum());
            }
        }

        return best;
    }

    private static void AddAlike(List<int> chosen, List<BitState> states, List<Dictionary<int, double>> explained, HashSet<int> served)
    {
        var alike = Enumerable.Range(0, states.Count)
            .Where(i => served.Count(explained[i].ContainsKey) >= AlikeShare * served.Count)
            .OrderByDescending(i => served.Sum(message => explained[i].GetValueOrDefault(message)))
            .ToList();
        // The same identifier on another bus is a copy that a gateway sends.
        foreach (var i in alike)
        {
            if (chosen.Count < MostBits && chosen.TrueForAll(known => states[known].Bit.Id != states[i].Bit.Id))
            {
                chosen.Add(i);
            }
        }

        if (states[chosen[0]].Turns == 0)
        {
            // Captures apart differ in much that is no state, and in several states of one message, such as on and running: none of them may say otherwise.
            chosen.AddRange(alike.Except(chosen).Where(i => chosen.Exists(known => IsBeside(states[known].Bit, states[i].Bit))).Take(MostBits - chosen.Count).ToList());
            return;
        }

        // All but one of two is one of them.
        if (chosen.Count == 2)
        {
            chosen.RemoveAt(chosen.Count - 1);
        }
    }

    private static bool IsBeside(SwitchBit bit, SwitchBit other) => bit.Bus == other.Bus && bit.Id == other.Id && (bit.Byte, bit.Bit) != (other.Byte, other.Bit);
}
