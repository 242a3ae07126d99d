using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>The way a reading lies on the picture, as far as the file tells.</summary>
internal enum ReadingAxis
{
    /// <summary>Not told: a diameter, a diagonal.</summary>
    Untold,

    /// <summary>Across.</summary>
    Across,

    /// <summary>Up and down.</summary>
    Upright,

    /// <summary>At an angle.</summary>
    Slanted,
}

/// <summary>An item as far as it could be read: parts that could not are null.</summary>
internal sealed record ItemDraft(TableReader Table, string? Id, string? StandsOn, PlanePoint? Size, RowLayout? Rows, Condition? When)
{
    /// <summary>Place of the centre, from what it stands on.</summary>
    internal PlanePoint? Place { get; set; }

    /// <summary>What it stands on where the first is not worn.</summary>
    internal IReadOnlyList<string> Otherwise { get; init; } = [];
}

/// <summary>A step as far as it could be read.</summary>
internal sealed record StepDraft(TableReader Table, string? Id, string? Of, string? From, Direction? Grows, bool IsSize, ReadingAxis Axis, PlanePoint? At, Condition? When);

/// <summary>A relation as far as it could be read.</summary>
internal sealed record RelationDraft(TableReader Table, string? Id, RelationKind? Kind, IReadOnlyList<TomlText> Of, IReadOnlyList<string> AlsoNeeds, Condition? When)
{
    /// <summary>Every step it needs.</summary>
    internal IEnumerable<string> Needs => Of.Select(text => text.Value).Concat(AlsoNeeds).Distinct();
}
