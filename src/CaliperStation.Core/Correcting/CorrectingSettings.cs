using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>What a hand can do with a pin, and the unit it is said in.</summary>
/// <param name="SmallestMove">The smallest move a hand can do; smaller ones are left out. Positive.</param>
/// <param name="Display">How lengths are shown, which also chooses what moves are rounded to.</param>
public sealed record CorrectingSettings(Length SmallestMove, LengthDisplay Display)
{
    /// <summary>What a move is rounded to: half a tick where marks are shown, else a round figure that can be set with the caliper.</summary>
    public Length Step => Display switch
    {
        LengthDisplay.Ticks or LengthDisplay.Fraction => Length.HalfTick,
        LengthDisplay.Inch => Length.FromMicrometres(127),
        LengthDisplay.Millimetre => Length.FromMicrometres(100),
    };

    /// <summary>Half a tick, shown as the standard says.</summary>
    public static CorrectingSettings For(Standard standard) => For(standard, Length.HalfTick);

    /// <summary>Another smallest move, shown as the standard says.</summary>
    public static CorrectingSettings For(Standard standard, Length smallestMove) => new(smallestMove, standard.Show);
}
