using BusScope.Signals.Expressions;

namespace BusScope.Signals.Plans;

/// <summary>
/// Expressions over the signals of a definition set, compiled for running: which signal of which message feeds which operand,
/// and in which order computed signals come before what reads them. Frozen; <see cref="ConditionValues"/> holds what changes.
/// </summary>
public sealed class ConditionPlan
{
    private readonly Dictionary<int, Feed[]> feeds = [];

    /// <summary>Compiles expressions.</summary>
    /// <param name="plan">The signals.</param>
    /// <param name="expressions">The expressions, which keep their index.</param>
    public ConditionPlan(DefinitionPlan plan, IReadOnlyList<Expression> expressions)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(expressions);
        Plan = plan;
        Count = expressions.Count;
        var nodes = expressions.Select(expression => new Node(expression)).ToList();
        var nodeOfComputed = new Dictionary<int, int>();
        var found = new Dictionary<int, List<Feed>>();

        // The list grows while it is walked: a computed signal that is read becomes a node of its own.
        for (var n = 0; n < nodes.Count; n++)
        {
            var operands = ExpressionBinding.Bind(plan, nodes[n].Expression);
            for (var i = 0; i < operands.Length; i++)
            {
                nodes[n].Start[i] = operands[i].Constant;
                switch (operands[i].Kind)
                {
                    case OperandKind.Signal:
                        if (!found.TryGetValue(operands[i].Message, out var ofMessage))
                        {
                            found.Add(operands[i].Message, ofMessage = []);
                        }

                        ofMessage.Add(new Feed(operands[i].Index, n, i));
                        break;
                    case OperandKind.Computed:
                        if (!nodeOfComputed.TryGetValue(operands[i].Index, out var source))
                        {
                            source = nodes.Count;
                            nodeOfComputed.Add(operands[i].Index, source);
                            nodes.Add(new Node(plan.Definitions.Computed[operands[i].Index].Expression));
                        }

                        nodes[source].Readers.Add((n, i));
                        break;
                    default:
                        break;
                }
            }
        }

        foreach (var (message, list) in found)
        {
            feeds.Add(message, [.. list.OrderBy(feed => feed.Signal)]);
        }

        Nodes = [.. nodes];
        Order = InOrder(Nodes);
    }

    /// <summary>The signals.</summary>
    public DefinitionPlan Plan { get; }

    /// <summary>How many expressions there are.</summary>
    public int Count { get; }

    /// <summary>The expressions, then the computed signals that they read.</summary>
    internal Node[] Nodes { get; }

    /// <summary>Indexes of nodes, each before those that read it. Nodes on a loop are left out and never have a value.</summary>
    internal int[] Order { get; }

    /// <summary>Whether any of the expressions reads a message.</summary>
    public bool Reads(int message) => feeds.ContainsKey(message);

    /// <summary>The indexes of the messages that an expression reads, by itself or through computed signals, in ascending order.</summary>
    public IReadOnlyList<int> MessagesOf(int expression)
    {
        var serves = new bool[Nodes.Length];
        foreach (var n in Order.Reverse())
        {
            serves[n] = n == expression || Nodes[n].Readers.Exists(reader => serves[reader.Node]);
        }

        return [.. feeds.Where(feed => feed.Value.Any(each => serves[each.Node])).Select(feed => feed.Key).Order()];
    }

    /// <summary>What a message feeds, by signal.</summary>
    internal Feed[] FeedsOf(int message) => feeds.TryGetValue(message, out var found) ? found : [];

    private static int[] InOrder(Node[] nodes)
    {
        var open = new int[nodes.Length];
        foreach (var node in nodes)
        {
            node.Readers.ForEach(reader => open[reader.Node]++);
        }

        var order = new List<int>(Enumerable.Range(0, nodes.Length).Where(n => open[n] == 0));
        for (var i = 0; i < order.Count; i++)
        {
            foreach (var (reader, _) in nodes[order[i]].Readers)
            {
                if (--open[reader] == 0)
                {
                    order.Add(reader);
                }
            }
        }

        return [.. order];
    }

    /// <summary>A signal that feeds an operand of a node.</summary>
    internal readonly record struct Feed(int Signal, int Node, int Operand);

    /// <summary>An expression and who reads its value.</summary>
    internal sealed class Node(Expression expression)
    {
        public Expression Expression => expression;

        /// <summary>The operands before anything is known: named values, otherwise NaN.</summary>
        public double[] Start { get; } = new double[expression.References.Count];

        public List<(int Node, int Operand)> Readers { get; } = [];
    }
}
