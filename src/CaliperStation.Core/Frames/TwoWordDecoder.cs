using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

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
