using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>What is said of a relation's value.</summary>
public enum Verdict
{
    /// <summary>Conforms.</summary>
    Within,

    /// <summary>Cannot be told, given the uncertainty.</summary>
    Borderline,

    /// <summary>Does not conform.</summary>
    Outside,
}

/// <summary>A verdict on one relation, with all it rests on.</summary>
/// <param name="Relation">The relation.</param>
/// <param name="Steps">The steps it was computed from: one for a relation that holds for each of its readings.</param>
/// <param name="Dimension">The unit of the numbers below.</param>
/// <param name="Exact">The value as an exact length; <c>default</c> for an angle or a ratio.</param>
/// <param name="Value">The value as a floating number, in nanometres, milliradians or plain.</param>
/// <param name="Limits">The limits it was judged by: of several, the ones it is most likely within.</param>
/// <param name="Lower">Lower limit as a floating number, or null.</param>
/// <param name="Upper">Upper limit as a floating number, or null.</param>
/// <param name="Uncertainty">Combined standard uncertainty (JCGM 100:2008, 5.1.2), in the same unit.</param>
/// <param name="Conformance">Conformance probability, 0 to 1 (JCGM 106:2012, 7.3 and 7.4).</param>
/// <param name="Margin">Distance to the nearest limit, positive inside; infinity where there is none.</param>
/// <param name="Verdict">The verdict.</param>
/// <param name="AngleMilliradians">For <see cref="RelationKind.Level"/> with a span: the value as an angle; else null.</param>
public sealed record Judgement(
    Relation Relation,
    IReadOnlyList<string> Steps,
    Dimension Dimension,
    ExactLength Exact,
    double Value,
    Limits Limits,
    double? Lower,
    double? Upper,
    double Uncertainty,
    double Conformance,
    double Margin,
    Verdict Verdict,
    double? AngleMilliradians)
{
    /// <summary>Degrees of freedom of the uncertainty, whole; infinite where nothing in it was found by a study of hands.</summary>
    public double Degrees { get; init; } = double.PositiveInfinity;

    /// <summary>The studies of hands that its uncertainty rests on, by their ids; empty where it rests on the standard's own figure.</summary>
    public IReadOnlyList<string> Studies { get; init; } = [];
}
