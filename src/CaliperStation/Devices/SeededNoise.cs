using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>Repeatable noise: the same seed and place give the same number on every machine, by <see cref="SplitMix64"/>.</summary>
internal readonly record struct SeededNoise(ulong Seed)
{
    /// <summary>64 bits for the place.</summary>
    internal ulong Bits(long place) => SplitMix64.Mix(unchecked(Seed + ((ulong)place + 1) * SplitMix64.Gamma));

    /// <summary>Evenly from 0 up to but not 1.</summary>
    internal double Unit(long place) => (Bits(place) >> 11) * (1.0 / (1UL << 53));

    /// <summary>Evenly from -1 to 1.</summary>
    internal double Signed(long place) => (2 * Unit(place)) - 1;

    /// <summary>Noise of its own for a part, independent of this one.</summary>
    internal SeededNoise For(long part) => new(SplitMix64.Mix(Bits(part) ^ SplitMix64.Gamma));

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
}
