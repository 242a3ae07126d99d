using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Makes the two-word frame an instrument would send.</summary>
public static class TwoWordEncoder
{
    /// <summary>The frame of a displayed value, to the nearest count (half-even), and an absolute word.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A word does not fit 24 bits in two's complement.</exception>
    public static FrameBits Encode(Length value, long absoluteCounts, TwoWordOptions? options = null)
    {
        TwoWordOptions set = options ?? TwoWordOptions.Default;
        long counts = (long)WholeNumber.Divide((Int128)value.Nanometres * TwoWordLayout.CountsPerInch, Length.Inch.Nanometres, Rounding.HalfEven);
        ulong displayed = Word(set.Negated ? -counts : counts, nameof(value));
        ulong absolute = Word(absoluteCounts, nameof(absoluteCounts));
        (ulong first, ulong second) = set.Order switch
        {
            TwoWordOrder.DisplayedSecond => (absolute, displayed),
            TwoWordOrder.DisplayedFirst => (displayed, absolute),
        };
        FrameBits frame = new(first | (second << TwoWordLayout.WordBits), TwoWordLayout.Length);
        return set.Inverted ? frame.Inverted() : frame;
    }

    private static ulong Word(long counts, string name)
    {
        const long half = 1L << (TwoWordLayout.WordBits - 1);
        return counts is >= -half and < half
            ? (ulong)(counts < 0 ? counts + (2 * half) : counts)
            : throw new ArgumentOutOfRangeException(name, "The word does not fit 24 bits.");
    }
}
