using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class SplitMix64Tests
{
    /// <summary>https://rosettacode.org/wiki/Pseudo-random_numbers/Splitmix64: the first five for seed 1234567.</summary>
    [Fact]
    public void The_sequence_is_the_published_one()
    {
        SplitMix64 sequence = new(1_234_567);
        ulong[] published = [6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821];

        Assert.All(published, expected => Assert.Equal(expected, sequence.Next()));
    }

    [Fact]
    public void Every_candidate_is_chosen_about_as_often()
    {
        int[] times = new int[10];
        for (int seed = 0; seed < 2_000; seed++)
        {
            IReadOnlyList<int> chosen = SplitMix64.Choose(Enumerable.Range(0, 10), 3, seed);
            Assert.Equal(3, chosen.Distinct().Count());
            foreach (int candidate in chosen)
            {
                times[candidate]++;
            }
        }

        Assert.All(times, count => Assert.InRange(count, 500, 700));   // 600 expected, standard deviation √(2000·0.3·0.7) = 20.5
    }

    [Fact]
    public void No_more_are_chosen_than_there_are()
    {
        Assert.Equal([1, 2, 3], SplitMix64.Choose([1, 2, 3], 5, 1).Order());
        Assert.Empty(SplitMix64.Choose<int>([], 1, 1));
    }
}
