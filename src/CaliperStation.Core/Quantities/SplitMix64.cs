namespace CaliperStation.Core.Quantities;

/// <summary>A sequence of numbers that follows from its seed, the same on every machine.</summary>
/// <remarks>
/// G. L. Steele, D. Lea, C. H. Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014, doi
/// 10.1145/2660193.2660195. For choosing, not for secrets. Wrapping arithmetic is its definition. <c>default</c> is seed 0.
/// </remarks>
public struct SplitMix64
{
    /// <summary>What the state grows by from number to number.</summary>
    public const ulong Gamma = 0x9E3779B97F4A7C15;

    private ulong _state;

    /// <summary>A sequence.</summary>
    public SplitMix64(long seed) => _state = unchecked((ulong)seed);

    /// <summary>The next 64 bits.</summary>
    public ulong Next() => Mix(unchecked(_state += Gamma));

    /// <summary>The number that belongs to a state.</summary>
    public static ulong Mix(ulong state)
    {
        unchecked
        {
            ulong z = (state ^ (state >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
    }

    /// <summary>So many of the candidates, each as likely as any other; all when there are fewer.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="count"/> is negative.</exception>
    public static IReadOnlyList<T> Choose<T>(IEnumerable<T> candidates, int count, long seed)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        List<T> left = [.. candidates];
        List<T> chosen = [];
        SplitMix64 sequence = new(seed);
        while (chosen.Count < count && left.Count > 0)
        {
            int at = (int)Math.BigMul(sequence.Next(), (ulong)left.Count, out _);   // the high half: from 0 to one less than the count
            chosen.Add(left[at]);
            left.RemoveAt(at);
        }

        return chosen;
    }
}
