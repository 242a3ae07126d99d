using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

/// <summary>The two-word frame. It carries no check but its length; the station wants equal neighbours before it believes one.</summary>
public static class TwoWordDecoder
{
    internal const string WrongLength = "the frame does not have two words of 24 bits";

    /// <summary>The displayed word as a length.</summary>
    /// <remarks>
    /// A count is not whole in nanometres, so the value is rounded half-even, once, to the nanometre: at most 0.5 nm, a
    /// ten-thousandth of what the display shows. The frame names no unit. The resolution is the display's step of eight counts, 9922 nm.
    /// </remarks>
    public static FrameEvent Decode(FrameBits frame, TwoWordOptions? options = null)
    {
        if (frame.Count != TwoWordLayout.Length)
        {
            return FrameEvent.Refused(WrongLength);
        }

        long counts = Counts(frame, options ?? TwoWordOptions.Default);
        return FrameEvent.Of(InCounts(counts), null, InCounts(TwoWordLayout.CountsPerDisplayStep));
    }

    private static long Counts(FrameBits frame, TwoWordOptions options)
    {
        FrameBits levels = options.Inverted ? frame.Inverted() : frame;
        long word = levels.Field(options.Order switch
        {
            TwoWordOrder.DisplayedSecond => TwoWordLayout.WordBits,
            TwoWordOrder.DisplayedFirst => 0,
        }, TwoWordLayout.WordBits);
        long signed = word >= 1L << (TwoWordLayout.WordBits - 1) ? word - (1L << TwoWordLayout.WordBits) : word;   // two's complement
        return options.Negated ? -signed : signed;
    }

    private static Length InCounts(long counts) =>
        Length.FromNanometres(WholeNumber.Divide(counts * Length.Inch.Nanometres, TwoWordLayout.CountsPerInch, Rounding.HalfEven));
}

/// <summary>Two words of 24 bits, lowest bit first, in counts of 1/20480 in.</summary>
/// <remarks>
/// Published counts: shumatech.com/support/chinese_scales.htm. Word 1 is absolute with an arbitrary start, word 2 relative to the
/// last zero; one source gives the reverse order. The unit key does not change the data.
/// </remarks>
internal static class TwoWordLayout
{
    public const int WordBits = 24;

    public const int Length = 2 * WordBits;

    /// <summary>One count is 25.4 mm / 20480 = 1240.234375 nm.</summary>
    public const long CountsPerInch = 20_480;

    /// <summary>The lowest three bits flicker; what the display shows is eight counts wide.</summary>
    public const long CountsPerDisplayStep = 8;
}

/// <summary>Which of the two words is shown on the display.</summary>
public enum TwoWordOrder
{
    /// <summary>The absolute word first, then the displayed one.</summary>
    DisplayedSecond,

    /// <summary>The displayed word first.</summary>
    DisplayedFirst,
}

/// <summary>How this instrument and its wiring send; sources disagree, so try them on a known opening.</summary>
/// <param name="Order">Which word is the displayed one.</param>
/// <param name="Inverted">True to turn every bit over before anything else: the line came through an inverting stage that must be undone.</param>
/// <param name="Negated">
/// True when the word is minus the displayed value, as published for direct wiring. Through an inverting stage that is not undone the
/// word is the displayed value itself, less one count: minus n is complement(n) + 1.
/// </param>
public sealed record TwoWordOptions(TwoWordOrder Order = TwoWordOrder.DisplayedSecond, bool Inverted = false, bool Negated = false)
{
    /// <summary>Read through one inverting transistor, as in the one published trace with numbers: word 2 = 4826 is 5.985 mm.</summary>
    public static TwoWordOptions Default { get; } = new();

    /// <summary>Read straight off the data pad.</summary>
    public static TwoWordOptions Direct { get; } = new(Negated: true);
}
