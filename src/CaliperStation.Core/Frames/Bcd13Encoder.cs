using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>The tolerance verdict that an instrument may put into its unit nibble.</summary>
public enum Bcd13Verdict
{
    /// <summary>None.</summary>
    None,

    /// <summary>Above the upper limit set in the instrument.</summary>
    High,

    /// <summary>Between its limits.</summary>
    Within,

    /// <summary>Below the lower limit.</summary>
    Low,
}

/// <summary>Makes the 13-nibble frame an instrument would send.</summary>
public static class Bcd13Encoder
{
    /// <summary>The frame of a displayed value with so many decimals.</summary>
    /// <param name="value">A whole number of steps of the last digit, at most six digits.</param>
    /// <param name="unit">The displayed unit.</param>
    /// <param name="decimals">0 to 5.</param>
    /// <param name="type">Any type that carries a value.</param>
    /// <param name="entry">The number of a stored entry, 1 to 999.</param>
    /// <param name="verdict">The instrument's own verdict.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value the format cannot carry.</exception>
    public static FrameBits Encode(
        Length value, LengthUnit unit, int decimals, Bcd13Type type = Bcd13Type.Normal, int entry = 1, Bcd13Verdict verdict = Bcd13Verdict.None)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(decimals);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(decimals, Bcd13Layout.MostDecimals);
        ArgumentOutOfRangeException.ThrowIfEqual((int)type, (int)Bcd13Type.NumberOfData, nameof(type));
        ArgumentOutOfRangeException.ThrowIfEqual((int)type, (int)Bcd13Type.Extended, nameof(type));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(entry);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(entry, 999);
        (long digits, long rest) = Math.DivRem(value.Abs().Nanometres, ShownNumber.In(unit, 1, decimals).Nanometres);
        if (rest != 0 || digits > 999_999)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or has more than six digits.");
        }

        FrameBits frame = default(FrameBits).AddNibble((int)type);
        frame = type == Bcd13Type.StoredEntry ? AddDigits(frame, entry, Bcd13Layout.FillerNibbles) : AddEmpty(frame, Bcd13Layout.FillerNibbles);
        frame = frame.AddNibble(value < Length.Zero ? Bcd13Layout.Minus : Bcd13Layout.Plus);
        return AddDigits(frame, digits, Bcd13Layout.DigitNibbles).AddNibble(decimals).AddNibble(UnitNibble(unit, verdict));
    }

    /// <summary>The frame that tells how many entries are stored, 0 to 999.</summary>
    /// <exception cref="ArgumentOutOfRangeException">More than three digits.</exception>
    public static FrameBits EncodeCount(int count)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, 999);
        FrameBits head = AddEmpty(default(FrameBits).AddNibble((int)Bcd13Type.NumberOfData), Bcd13Layout.Count - 1);
        return AddEmpty(AddDigits(head, count, Bcd13Layout.CountNibbles), 2);
    }

    private static int UnitNibble(LengthUnit unit, Bcd13Verdict verdict)
    {
        int inch = unit == LengthUnit.Inch ? 1 : 0;
        return verdict switch
        {
            Bcd13Verdict.None => inch,
            Bcd13Verdict.High => 2 + (3 * inch),
            Bcd13Verdict.Within => 3 + (3 * inch),
            Bcd13Verdict.Low => 4 + (3 * inch),
        };
    }

    private static FrameBits AddDigits(FrameBits frame, long number, int count)
    {
        for (int i = count - 1; i >= 0; i--)
        {
            long place = 1;
            for (int j = 0; j < i; j++)
            {
                place *= 10;
            }

            frame = frame.AddNibble((int)(number / place % 10));
        }

        return frame;
    }

    private static FrameBits AddEmpty(FrameBits frame, int count)
    {
        for (int i = 0; i < count; i++)
        {
            frame = frame.AddNibble(Bcd13Layout.Empty);
        }

        return frame;
    }
}
