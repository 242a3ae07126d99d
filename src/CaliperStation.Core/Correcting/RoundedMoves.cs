namespace CaliperStation.Core.Correcting;

/// <summary>Moves of some items in whole steps of their pins, with what they cost.</summary>
/// <param name="Pins">For each item, its pins' moves in whole steps; empty for an item that stays.</param>
/// <param name="Moves">The rigid moves they make: three numbers for each item.</param>
/// <param name="Outside">How many goals are not accepted after them.</param>
/// <param name="Needless">The items that move whose own rules hold and would hold if they stayed: they only cure what stands on them.</param>
/// <param name="Sound">How many items move whose own rules hold now.</param>
/// <param name="PinsMoved">How many pins move.</param>
/// <param name="Travel">Sum of all pins' steps to the right or left and up or down.</param>
internal sealed record RoundedMoves((int Right, int Up)[][] Pins, double[] Moves, int Outside, IReadOnlyList<int> Needless, int Sound, int PinsMoved, long Travel)
{
    /// <summary>How many items move.</summary>
    internal int Items => Pins.Count(pins => pins.Length > 0);

    /// <summary>Positions of those that move.</summary>
    internal IEnumerable<int> Moved => Enumerable.Range(0, Pins.Length).Where(item => Pins[item].Length > 0);

    /// <summary>True when nothing better is to be had from more items.</summary>
    internal bool IsGood => Outside == 0 && Needless.Count == 0;

    /// <summary>The order in which moves are preferred: fewer goals missed, sound foundations left, fewer items, those that are outside, fewer pins, less travel.</summary>
    internal bool Beats(RoundedMoves? other) =>
        other is null || (Outside, Needless.Count, Items, Sound, PinsMoved, Travel).CompareTo((other.Outside, other.Needless.Count, other.Items, other.Sound, other.PinsMoved, other.Travel)) < 0;
}
