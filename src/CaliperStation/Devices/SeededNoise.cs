namespace CaliperStation.Devices;

/// <summary>Repeatable noise: the same seed and place give the same number on every machine.</summary>
/// <remarks>
/// The mixing function is SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, Fast Splittable Pseudorandom Number
/// Generators, OOPSLA 2014, doi 10.1145/2660193.2660195). Wrapping arithmetic is its definition.
/// </remarks>
internal readonly record struct SeededNoise(ulong Seed)
{
    private const ulong Gamma = 0x9E3779B97F4A7C15;

    /// <summary>64 bits for the place.</summary>
    internal ulong Bits(long place) => Mix(unchecked(Seed + ((ulong)place + 1) * Gamma));

    /// <summary>Evenly from 0 up to but not 1.</summary>
    internal double Unit(long place) => (Bits(place) >> 11) * (1.0 / (1UL << 53));

    /// <summary>Evenly from -1 to 1.</summary>
    internal double Signed(long place) => (2 * Unit(place)) - 1;

    /// <summary>Noise of its own for a part, independent of this one.</summary>
    internal SeededNoise For(long part) => new(Mix(Bits(part) ^ Gamma));

    /// <summary>Noise of its own for a name.</summary>
    internal SeededNoise For(string name)
    {
        SeededNoise noise = this;
        foreach (char letter in name)
        {
            noise = noise.For(letter);
        }

        return noise.For(name.Length);
    }

    private static ulong Mix(ulong z)
    {
        unchecked
        {
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
    }
}
