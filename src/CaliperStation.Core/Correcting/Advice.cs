using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Correcting;

/// <summary>How to move one pin.</summary>
/// <param name="Pin">Its position in the item's list of pins, from 0.</param>
/// <param name="Right">To the viewer's right; negative to the left. Already rounded to what a hand can do.</param>
/// <param name="Up">Upwards; negative down. Already rounded to what a hand can do.</param>
/// <param name="Words">In words, e.g. <c>left pin: up 1½ t, right 2 t</c>, or <c>right pin: leave</c>.</param>
public sealed record PinMove(int Pin, Length Right, Length Up, string Words)
{
    /// <summary>The pin's name, different from those of the others, e.g. <c>left pin</c>.</summary>
    public required string Name { get; init; }

    /// <summary>True for the one pin of a thing that lies turned: it cannot turn it.</summary>
    public bool StaysTurned { get; init; }

    /// <summary>False for a pin that stays.</summary>
    public bool Moves => Right != Length.Zero || Up != Length.Zero;
}

/// <summary>How to move one item.</summary>
/// <param name="Item">Its id.</param>
/// <param name="Pins">A move for each pin, in the item's order.</param>
/// <param name="Should">What readings should become, by step, after the rounded moves.</param>
/// <param name="WillBreak">Relations that hold now and that the move will push outside unless what stands above is moved too.</param>
/// <param name="MakesStale">Steps that must be measured again after the move, in the order of work.</param>
public sealed record ItemMove(
    string Item,
    IReadOnlyList<PinMove> Pins,
    IReadOnlyList<(string Step, Length Should)> Should,
    IReadOnlyList<string> WillBreak,
    IReadOnlyList<string> MakesStale);

/// <summary>Where an item lies, as far as the readings tell.</summary>
/// <param name="Item">Its id.</param>
/// <param name="RightNanometres">Displacement from its nominal place to the right.</param>
/// <param name="UpNanometres">Displacement upwards.</param>
/// <param name="TurnMilliradians">Turn about its centre, anticlockwise positive.</param>
/// <param name="Covariance">Covariance of right, up (nm²) and turn (rad²), row by row, nine numbers; for seen directions only.</param>
/// <param name="Unseen">Which of <c>right</c>, <c>up</c>, <c>turn</c> no reading sees; their values are 0 and mean nothing.</param>
public sealed record ItemPose(
    string Item,
    double RightNanometres,
    double UpNanometres,
    double TurnMilliradians,
    IReadOnlyList<double> Covariance,
    IReadOnlyList<string> Unseen);

/// <summary>What moving pins cannot mend, or mends only at a price.</summary>
public enum ConflictKind
{
    /// <summary>Two rules cannot both hold on this coat.</summary>
    TwoRules,

    /// <summary>One rule cannot hold for all its readings.</summary>
    ItsReadings,

    /// <summary>One rule cannot be brought within.</summary>
    OneRule,

    /// <summary>The rule depends on no item's place.</summary>
    Immovable,

    /// <summary>Moves by whole steps leave the rule short of being within.</summary>
    TooCoarse,

    /// <summary>A rule is brought within only by moving an item whose own rule holds.</summary>
    SoundItemMoves,

    /// <summary>Too many items hang together to search for moves.</summary>
    TooMany,
}

/// <summary>Something that moving pins cannot mend, or mends only at a price.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Relations">The rules it is about, the one that is not within first.</param>
/// <param name="Items">Items on one pin that would have to turn; the sound item that is moved.</param>
/// <param name="Words">In words, safe to show.</param>
public sealed record Conflict(ConflictKind Kind, IReadOnlyList<string> Relations, IReadOnlyList<string> Items, string Words);

/// <summary>What the readings so far say about every item, and what to do.</summary>
/// <param name="Poses">Each item that has any reading, in the order of work.</param>
/// <param name="Moves">The fewest re-pins, in the order of work; empty when nothing needs to move or nothing helps.</param>
/// <param name="ProvenFewest">False when there were too many items to try every set.</param>
/// <param name="Outliers">Steps whose reading does not fit the rest: measure again before any pin is moved.</param>
/// <param name="Contradictions">Pairs of relations that cannot both hold on this coat, and relations that no move, or none a hand can do, brings within.</param>
public sealed record Advice(
    IReadOnlyList<ItemPose> Poses,
    IReadOnlyList<ItemMove> Moves,
    bool ProvenFewest,
    IReadOnlyList<string> Outliers,
    IReadOnlyList<Conflict> Contradictions)
{
    /// <summary>The contradictions in words.</summary>
    public IReadOnlyList<string> Conflicts => [.. Contradictions.Select(conflict => conflict.Words)];

    /// <summary>
    /// Steps that must be read before the move is known, in the order of work: the other pin, the other side of what is to be moved.
    /// The moves that wait for them are not among <see cref="Moves"/>.
    /// </summary>
    public IReadOnlyList<string> Wanted { get; init; } = [];
}
