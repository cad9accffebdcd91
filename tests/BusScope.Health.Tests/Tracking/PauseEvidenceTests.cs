using BusScope.Health.Tracking;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public class PauseEvidenceTests
{
    [Theory]
    [InlineData(2, false)]
    [InlineData(3, true)]
    public void Three_counters_of_sixteen_values_prove_a_hole_in_the_recording(int counters, bool proved)
    {
        var evidence = new PauseEvidence();

        for (var i = 0; i < counters; i++)
        {
            evidence.Add(steps: 40 % 16, sent: 40, modulo: 16);
        }

        Assert.Equal(proved, evidence.ShowsLoss);
    }

    [Fact]
    public void Counters_that_go_on_by_one_speak_for_a_pause()
    {
        var evidence = new PauseEvidence();
        for (var i = 0; i < 3; i++)
        {
            evidence.Add(steps: 8, sent: 40, modulo: 16);
        }

        evidence.Add(steps: 1, sent: 40, modulo: 16);

        Assert.False(evidence.ShowsLoss);
    }

    [Fact]
    public void A_counter_that_comes_round_to_the_next_value_says_nothing()
    {
        var evidence = new PauseEvidence();

        for (var i = 0; i < 20; i++)
        {
            evidence.Add(steps: 1, sent: 33, modulo: 16);
            evidence.Add(steps: 0, sent: 32, modulo: 16);
        }

        Assert.Equal((false, 0L), (evidence.ShowsLoss, evidence.Counters));
    }

    [Fact]
    public void Counters_that_begin_anew_anywhere_are_hardly_ever_taken_for_a_hole()
    {
        // Ten counters of random values, as after a sleep of the bus: 3 in 16 agree each by chance.
        var wrong = 0;
        Gen.Int[0, 15].Array[10].Sample(
            values =>
            {
                var evidence = new PauseEvidence();
                foreach (var value in values)
                {
                    evidence.Add(value, sent: 40, modulo: 16);
                }

                wrong += evidence.ShowsLoss ? 1 : 0;
            },
            iter: 10_000,
            threads: 1);

        Assert.InRange(wrong, 0, 10);
    }
}
