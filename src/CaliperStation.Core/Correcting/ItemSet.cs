using System.Numerics;

namespace CaliperStation.Core.Correcting;

/// <summary>A set of up to 64 items by their position in a list; <c>default</c> is empty.</summary>
internal readonly record struct ItemSet(ulong Bits)
{
    /// <summary>The most items a set can hold.</summary>
    internal const int Most = 64;

    internal bool IsEmpty => Bits == 0;

    internal int Count => BitOperations.PopCount(Bits);

    internal static ItemSet One(int item) => new(1UL << item);

    internal static ItemSet First(int count) => new(count == Most ? ulong.MaxValue : (1UL << count) - 1);

    internal bool Has(int item) => (Bits >> item & 1) != 0;

    internal bool Meets(ItemSet other) => (Bits & other.Bits) != 0;

    internal ItemSet With(ItemSet other) => new(Bits | other.Bits);

    internal ItemSet Without(ItemSet other) => new(Bits & ~other.Bits);

    internal IEnumerable<int> Members()
    {
        for (ulong rest = Bits; rest != 0; rest &= rest - 1)
        {
            yield return BitOperations.TrailingZeroCount(rest);
        }
    }
}
