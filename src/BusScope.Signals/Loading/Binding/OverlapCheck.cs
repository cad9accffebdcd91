using System.Runtime.CompilerServices;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Finds fields of a message that share bits.</summary>
internal static class OverlapCheck
{
    /// <summary>Reports overlaps of signals that can be present together, and of signals with counter and checksum.</summary>
    public static void Run(IReadOnlyList<SignalDefinition> signals, (CounterDefinition, PlacedField)? counter, (ChecksumDefinition, PlacedField)? checksum, FaultList faults)
    {
        if (counter is { Item2: var c } && checksum is { Item2: var s } && new PayloadBits(c.Field).Shares(new PayloadBits(s.Field)))
        {
            faults.Add(Faults.ProtectionOverlap, s.Place, "the checksum shares bits with the counter", null, c.Place);
        }

        var bits = signals.Select(signal => new PayloadBits(signal.Field)).ToArray();
        var branches = new Branches(signals);
        for (var i = 0; i < bits.Length; i++)
        {
            Signal(i, signals, bits, branches, faults);
            Protection(signals[i], bits[i], "counter", counter?.Item2, faults);
            Protection(signals[i], bits[i], "checksum", checksum?.Item2, faults);
        }
    }

    // One warning for each signal, against those before it: a file that overlaps on purpose is told in as many lines as it has signals.
    private static void Signal(int index, IReadOnlyList<SignalDefinition> signals, PayloadBits[] bits, Branches branches, FaultList faults)
    {
        var first = -1;
        var others = 0;
        for (var j = 0; j < index; j++)
        {
            if (bits[index].Shares(bits[j]) && branches.CanMeet(index, j))
            {
                first = first < 0 ? j : first;
                others++;
            }
        }

        if (first >= 0)
        {
            var more = others > 1 ? $" and with {others - 1} more" : "";
            faults.Add(Faults.SignalsOverlap, signals[index].Place, $"{FaultList.Quote(signals[index].Name)} shares bits with {FaultList.Quote(signals[first].Name)}{more}", null, signals[first].Place);
        }
    }

    // A signal that is the counter or the checksum itself shows its value, which is fine.
    private static void Protection(SignalDefinition signal, PayloadBits bits, string what, PlacedField? field, FaultList faults)
    {
        if (field is { } placed && new PayloadBits(placed.Field) is var own && bits.Shares(own) && !bits.Equals(own))
        {
            faults.Add(Faults.SignalOnProtection, signal.Place, $"{FaultList.Quote(signal.Name)} shares bits with the {what}", null, placed.Place);
        }
    }

    /// <summary>The bits of a field as a set: eight words of 64 for the longest payload.</summary>
    private readonly struct PayloadBits : IEquatable<PayloadBits>
    {
        private readonly Words words;

        public PayloadBits(BitField field)
        {
            for (var n = 0; n < field.Length; n++)
            {
                var (inByte, bit) = field.At(n);
                words[inByte / 8] |= 1UL << ((inByte % 8 * 8) + bit);
            }
        }

        public bool Shares(PayloadBits other)
        {
            for (var i = 0; i < Words.Count; i++)
            {
                if ((words[i] & other.words[i]) != 0)
                {
                    return true;
                }
            }

            return false;
        }

        public bool Equals(PayloadBits other) => ((ReadOnlySpan<ulong>)words).SequenceEqual(other.words);

        public override bool Equals(object? obj) => obj is PayloadBits other && Equals(other);

        public override int GetHashCode() => words[0].GetHashCode();

        [InlineArray(Count)]
        private struct Words
        {
            public const int Count = 8;

            private ulong first;
        }
    }
}
