using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>What a hand can do with a pin, and how it is told.</summary>
/// <param name="SmallestMove">The smallest move a hand can do; smaller ones are left out. Positive.</param>
/// <param name="Display">How lengths are shown, which also chooses what moves are rounded to.</param>
public sealed record CorrectingSettings(Length SmallestMove, LengthDisplay Display)
{
    /// <summary>What a move is rounded to: half a tick, or half a millimetre where millimetres are shown.</summary>
    public Length Step => Display switch
    {
        LengthDisplay.Ticks or LengthDisplay.Fraction or LengthDisplay.Inch => Length.HalfTick,
        LengthDisplay.Millimetre => Length.FromMicrometres(500),
    };

    /// <summary>Half a tick, shown as the standard says.</summary>
    public static CorrectingSettings For(Standard standard) => new(Length.HalfTick, standard.Show);
}
