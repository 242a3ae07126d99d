namespace CaliperStation.Core.Quantities;

/// <summary>A length as a person finds it on a rule: the nearest mark of 1/64 in, and what is left over.</summary>
/// <param name="Mark">The nearest mark; between two, the one that is an even count of 64ths.</param>
/// <param name="LeftOver">The length less the mark, exact; at most 1/128 in either way.</param>
public readonly record struct NearestMark(Length Mark, ExactLength LeftOver)
{
    /// <summary>The mark nearest to a length.</summary>
    public static NearestMark Of(Length length) => Of(ExactLength.From(length));

    /// <summary>The mark nearest to a length.</summary>
    public static NearestMark Of(ExactLength length)
    {
        Int128 count = WholeNumber.Divide(length.Numerator, length.Denominator * Length.HalfTick.Nanometres, Rounding.HalfEven);
        Length mark = Length.FromSixtyFourths((long)count);
        return new(mark, length - ExactLength.From(mark));
    }

    /// <summary>True when the length is on the mark.</summary>
    public bool IsExact => LeftOver == default;

    /// <summary>In words, as <c>≈ 1/2 in + 0.0031 in</c>; without the <c>≈</c> when the length is on the mark.</summary>
    /// <param name="display">
    /// Ticks: the mark in ticks, the rest in inches. Fraction or inch: both in inches. Millimetre: the mark as a fraction of
    /// an inch, for that is what a rule has, the rest in millimetres.
    /// </param>
    /// <remarks>What is left over is rounded as <see cref="LengthFormat"/> says, and not said at all when it rounds to nothing.</remarks>
    public string Words(LengthDisplay display)
    {
        string mark = LengthFormat.Show(Mark, display == LengthDisplay.Ticks ? LengthDisplay.Ticks : LengthDisplay.Fraction);
        if (IsExact)
        {
            return mark;
        }

        LengthDisplay fine = display == LengthDisplay.Millimetre ? LengthDisplay.Millimetre : LengthDisplay.Inch;
        string rest = LengthFormat.ShowSigned(LeftOver, fine);
        return rest[0] is '+' or '-' ? $"≈ {mark} {rest[0]} {rest[1..]}" : $"≈ {mark}";
    }
}
