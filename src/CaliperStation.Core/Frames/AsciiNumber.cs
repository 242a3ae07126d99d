using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>How reading a number went.</summary>
internal enum NumberRead
{
    /// <summary>Digits, a decimal mark, digits.</summary>
    Number,

    /// <summary>There is no number here.</summary>
    None,

    /// <summary>Digits, but no decimal mark between digits.</summary>
    NoPoint,

    /// <summary>More digits than the widest published form has.</summary>
    TooManyDigits,

    /// <summary>A letter F among the digits, or nines only: the counter ran over.</summary>
    Overflow,
}

/// <summary>An unsigned decimal number as it stood in a line.</summary>
/// <param name="Digits">All its digits as one whole number.</param>
/// <param name="Decimals">How many of them follow the point, 1 to 6.</param>
/// <param name="Width">Characters it took, point included.</param>
internal readonly record struct AsciiNumber(long Digits, int Decimals, int Width)
{
    /// <summary>The widest published form has five digits, a point and six digits.</summary>
    private const int MostDigits = 11;

    private const int MostDecimals = 6;

    /// <summary>This many nines and nothing else is how some boxes say that there was no value.</summary>
    private const int NinesThatMeanNothing = 6;

    /// <summary>10^(6 - decimals): nanometres of one step in millimetres.</summary>
    private static readonly long[] MillimetreSteps = [1_000_000, 100_000, 10_000, 1_000, 100, 10, 1];

    /// <summary>254 × 10^(5 - decimals): nanometres of one step in inches; six decimals are 25.4 nm and not in the table.</summary>
    private static readonly long[] InchSteps = [25_400_000, 2_540_000, 254_000, 25_400, 2_540, 254];

    /// <summary>Digits, a point or one comma (some instruments write the decimal mark so), digits.</summary>
    public static NumberRead Read(ref AsciiCursor cursor, out AsciiNumber number)
    {
        number = default;
        int from = cursor.At;
        long digits = 0;
        int count = 0;
        int point = -1;
        bool nines = true;
        bool overflow = false;
        while (!cursor.AtEnd)
        {
            byte here = cursor.Here;
            if (AsciiCursor.IsDigit(here))
            {
                count++;
                nines &= here == '9';
                if (count <= MostDigits)
                {
                    digits = (digits * 10) + (here - '0');
                }
            }
            else if (here == '.' && point < 0 && count > 0)
            {
                point = count;
            }
            else if (here == ',' && point < 0 && count > 0 && cursor.Rest.Length > 1 && AsciiCursor.IsDigit(cursor.Rest[1]))
            {
                point = count;
            }
            else if (here == 'F' && (count > 0 || IsDigitOrPointNext(cursor)))
            {
                overflow = true;
            }
            else
            {
                break;
            }

            cursor.Skip(1);
        }

        if (overflow || (nines && count >= NinesThatMeanNothing))
        {
            return NumberRead.Overflow;
        }

        if (count == 0)
        {
            return NumberRead.None;
        }

        if (count > MostDigits)
        {
            return NumberRead.TooManyDigits;
        }

        if (point < 0 || point == count)
        {
            return NumberRead.NoPoint;   // "12." is what is left of a line that lost its end
        }

        if (count - point > MostDecimals)
        {
            return NumberRead.TooManyDigits;
        }

        number = new(digits, count - point, cursor.At - from);
        return NumberRead.Number;
    }

    /// <summary>The length it stands for. Only six decimals of an inch (25.4 nm) are not whole; they are rounded half-even, once.</summary>
    public Length In(LengthUnit unit, bool negative)
    {
        long magnitude = unit switch
        {
            LengthUnit.Millimetre => Digits * MillimetreSteps[Decimals],
            LengthUnit.Inch => Decimals < InchSteps.Length ? Digits * InchSteps[Decimals] : WholeNumber.Divide(Digits * 254, 10, Rounding.HalfEven),
        };
        return Length.FromNanometres(negative ? -magnitude : magnitude);
    }

    /// <summary>One step of the last digit, rounded half-even to the nanometre like the value.</summary>
    public Length StepIn(LengthUnit unit) => new AsciiNumber(1, Decimals, 0).In(unit, negative: false);

    private static bool IsDigitOrPointNext(in AsciiCursor cursor) =>
        cursor.Rest.Length > 1 && (AsciiCursor.IsDigit(cursor.Rest[1]) || cursor.Rest[1] is (byte)'.' or (byte)'F');
}
