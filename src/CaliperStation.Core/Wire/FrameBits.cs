namespace CaliperStation.Core.Wire;

/// <summary>The bits of one frame in the order they arrived.</summary>
/// <param name="Bits">Bit 0 arrived first. Bits from <paramref name="Count"/> on are 0.</param>
/// <param name="Count">How many arrived, 0 to 64; every published frame has at most 52.</param>
public readonly record struct FrameBits(ulong Bits, int Count)
{
    /// <summary>The most bits this can hold.</summary>
    public const int Most = 64;

    /// <summary>Bits from the first bit's index on, as a number whose lowest bit arrived first.</summary>
    public uint Field(int from, int count) => (uint)((Bits >> from) & ((1UL << count) - 1));

    /// <summary>The 4 bits at a place counted in nibbles from 0, lowest bit first on the wire.</summary>
    public int Nibble(int index) => (int)Field(index * 4, 4);

    /// <summary>One bit.</summary>
    public bool Bit(int index) => ((Bits >> index) & 1) != 0;

    /// <summary>Every bit the other way: the line was read through an inverting level shifter.</summary>
    public FrameBits Inverted() => new(Count == Most ? ~Bits : ~Bits & ((1UL << Count) - 1), Count);

    /// <summary>With one more nibble at the end, lowest bit first.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The nibble is not 0 to 15, or there is no room.</exception>
    public FrameBits AddNibble(int nibble)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(nibble);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(nibble, 15);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(Count, Most - 4, nameof(nibble));
        return new(Bits | ((ulong)nibble << Count), Count + 4);
    }

    /// <summary>With one more bit at the end.</summary>
    /// <exception cref="ArgumentOutOfRangeException">There is no room.</exception>
    public FrameBits AddBit(bool bit)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(Count, Most, nameof(bit));
        return new(Bits | ((bit ? 1UL : 0UL) << Count), Count + 1);
    }

    /// <summary>The bits in arrival order, as 0 and 1.</summary>
    public override string ToString() => string.Create(Count, Bits, static (text, bits) =>
    {
        for (int i = 0; i < text.Length; i++)
        {
            text[i] = ((bits >> i) & 1) != 0 ? '1' : '0';
        }
    });
}
