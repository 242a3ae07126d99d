using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>Conditions in words.</summary>
public static class ConditionWords
{
    /// <summary>Such as <c>cord = yes and lapel-share &gt;= 0.3333</c>; empty for no condition. Names are a standard's, so they are safe to show.</summary>
    public static string Of(Standard standard, Condition? condition) =>
        condition is null ? string.Empty : string.Join(" and ", condition.Parts.Select(part => Of(standard, part)));

    /// <summary>One part.</summary>
    internal static string Of(Standard standard, ConditionPart part) => part switch
    {
        ConditionPart.AnswerIs answer => $"{answer.Question} = {string.Join(" or ", answer.Answers)}",
        ConditionPart.RowsAre rows => string.Create(CultureInfo.InvariantCulture, $"rows of {rows.Item} {Sign(rows.Comparison)} {rows.Rows}"),
        ConditionPart.WornIs worn => $"{worn.Item} is {(worn.Worn ? "worn" : "not worn")}",
        ConditionPart.ValueIs value => $"{value.Relation} {Sign(value.Comparison)} {Number(standard, value)}",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private static string Number(Standard standard, ConditionPart.ValueIs value) => value.Length is { } length
        ? LengthFormat.ShowExact(length)
        : standard.FindRelation(value.Relation)?.Kind.Dimension == Dimension.Angle
            ? string.Create(CultureInfo.InvariantCulture, $"{value.Number / 1000 * 180 / Math.PI:0.##} deg")
            : value.Number.ToString("0.####", CultureInfo.InvariantCulture);

    private static string Sign(Comparison comparison) => comparison switch
    {
        Comparison.Less => "<",
        Comparison.AtMost => "<=",
        Comparison.Equal => "=",
        Comparison.AtLeast => ">=",
        Comparison.More => ">",
    };
}
