namespace CaliperStation.Core.Correcting;

/// <summary>Moves of some items in whole steps of their pins, with what they cost.</summary>
/// <param name="Pins">For each item, its pins' moves in whole steps; empty for an item that stays.</param>
/// <param name="Moves">The rigid moves they make: three numbers for each item.</param>
/// <param name="Outside">How many goals are not accepted after them.</param>
/// <param name="PinsMoved">How many pins move.</param>
/// <param name="Travel">Sum of all pins' steps to the right or left and up or down.</param>
internal sealed record RoundedMoves((int Right, int Up)[][] Pins, double[] Moves, int Outside, int PinsMoved, long Travel)
{
    /// <summary>How many items move.</summary>
    internal int Items => Pins.Count(pins => pins.Length > 0);

    /// <summary>The order in which moves are preferred: fewer goals missed, fewer items, fewer pins, less travel.</summary>
    internal bool Beats(RoundedMoves? other) =>
        other is null || (Outside, Items, PinsMoved, Travel).CompareTo((other.Outside, other.Items, other.PinsMoved, other.Travel)) < 0;
}
