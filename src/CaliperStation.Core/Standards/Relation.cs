using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>A rule over one or more readings.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Kind">What it computes.</param>
/// <param name="Of">The steps it reads, in the order of the file; at least one.</param>
/// <param name="Limits">What is allowed; any one of them will do. Never empty. In nanometres, milliradians or as a ratio, by <paramref name="Kind"/>.</param>
/// <param name="Span">The distance over which <see cref="RelationKind.Level"/> and <see cref="RelationKind.Angle"/> are taken, positive, or null.</param>
/// <param name="SpanStep">The step whose reading is the span, instead of <paramref name="Span"/>, or null.</param>
/// <param name="Add">For <see cref="RelationKind.Pitch"/>: the sizes of which half is added, stated ones, in whole.</param>
/// <param name="AddSteps">For <see cref="RelationKind.Pitch"/>: steps whose reading is a measured size of which half is added.</param>
/// <param name="When">Holds only then, or null for always.</param>
/// <param name="Source">Where the rule comes from: document, clause; or null.</param>
public sealed record Relation(
    string Id,
    RelationKind Kind,
    IReadOnlyList<string> Of,
    IReadOnlyList<Limits> Limits,
    Length? Span,
    string? SpanStep,
    IReadOnlyList<Length> Add,
    IReadOnlyList<string> AddSteps,
    Condition? When,
    string? Source)
{
    /// <summary>Every step whose reading this relation needs, once each.</summary>
    public IEnumerable<string> Needs => SpanStep is null ? Of.Concat(AddSteps).Distinct() : Of.Concat(AddSteps).Append(SpanStep).Distinct();

    /// <summary>True when each of its readings is judged by itself, not all together.</summary>
    public bool JudgesEach => Kind.JudgesEach;
}

/// <summary>One allowed interval, its ends included unless said otherwise. Lengths are exact; angles and shares are floating numbers.</summary>
/// <param name="Lower">Lower limit of a length, or null for none.</param>
/// <param name="Upper">Upper limit of a length, or null for none.</param>
/// <param name="Nominal">The value aimed at, or null when only limits are given.</param>
/// <param name="LowerNumber">For <see cref="RelationKind.Angle"/> in milliradians and <see cref="RelationKind.Share"/> as a ratio, instead of <paramref name="Lower"/>.</param>
/// <param name="UpperNumber">The same for the upper limit.</param>
/// <param name="NominalNumber">The same for the nominal.</param>
public sealed record Limits(
    Length? Lower,
    Length? Upper,
    Length? Nominal,
    double? LowerNumber = null,
    double? UpperNumber = null,
    double? NominalNumber = null)
{
    /// <summary>True when the lower limit itself is not allowed: more than it.</summary>
    public bool LowerExcluded { get; init; }

    /// <summary>True when the upper limit itself is not allowed: less than it.</summary>
    public bool UpperExcluded { get; init; }
}

/// <summary>When a line, item, step or relation applies: all parts hold.</summary>
/// <param name="Parts">At least one.</param>
public sealed record Condition(IReadOnlyList<ConditionPart> Parts);

/// <summary>One part of a condition.</summary>
public abstract record ConditionPart
{
    private ConditionPart()
    {
    }

    /// <summary>The question's answer is one of these.</summary>
    public sealed record AnswerIs(string Question, IReadOnlyList<string> Answers) : ConditionPart;

    /// <summary>Another relation's value compares so; lengths in nanometres, angles in milliradians, shares as a ratio.</summary>
    public sealed record ValueIs(string Relation, Comparison Comparison, double Number, Length? Length) : ConditionPart;

    /// <summary>An item is worn, or is not.</summary>
    public sealed record WornIs(string Item, bool Worn) : ConditionPart;

    /// <summary>An item's number of rows compares so.</summary>
    public sealed record RowsAre(string Item, Comparison Comparison, int Rows) : ConditionPart;
}

/// <summary>A comparison in a condition.</summary>
public enum Comparison
{
    /// <summary>&lt;</summary>
    Less,

    /// <summary>&lt;=</summary>
    AtMost,

    /// <summary>=</summary>
    Equal,

    /// <summary>&gt;=</summary>
    AtLeast,

    /// <summary>&gt;</summary>
    More,
}
