using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>A judgement as JSON members; the unit is part of each name.</summary>
public static class VerdictJson
{
    /// <summary>The ending of a name whose number is in that unit.</summary>
    public static string UnitOf(Dimension dimension) => dimension switch
    {
        Dimension.Length => "Nm",
        Dimension.Angle => "Milliradians",
        Dimension.Ratio => "Ratio",
    };

    /// <summary>Writes the members.</summary>
    public static void WriteMembers(Utf8JsonWriter json, Judgement judgement)
    {
        string unit = UnitOf(judgement.Dimension);
        json.WriteString("relation", judgement.Relation.Id);
        json.WriteString("verdict", VerdictText.Word(judgement.Verdict));
        json.WritePropertyName("value" + unit);
        WriteValue(json, judgement);
        WriteLimit(json, "lower" + unit, judgement.Lower);
        WriteLimit(json, "upper" + unit, judgement.Upper);
        json.WriteNumber("conformance", judgement.Conformance);
        json.WriteNumber("uncertainty" + unit, judgement.Uncertainty);
        if (judgement.Studies.Count > 0)
        {
            json.WriteNumber("degrees", (long)judgement.Degrees);
            JsonText.Strings(json, "studies", judgement.Studies);
        }

        json.WriteStartArray("steps");
        foreach (string step in judgement.Steps)
        {
            json.WriteStringValue(step);
        }

        json.WriteEndArray();
    }

    /// <summary>A whole number of nanometres where it is one; the mean of takes may not be.</summary>
    private static void WriteValue(Utf8JsonWriter json, Judgement judgement)
    {
        if (judgement.Dimension == Dimension.Length && judgement.Exact.IsWhole)
        {
            json.WriteNumberValue(judgement.Exact.ToLength(Rounding.HalfEven).Nanometres);
        }
        else
        {
            json.WriteNumberValue(judgement.Value);
        }
    }

    private static void WriteLimit(Utf8JsonWriter json, string name, double? limit)
    {
        if (limit is { } number)
        {
            json.WriteNumber(name, number);   // whole nanometres below 2^53 are exact
        }
        else
        {
            json.WriteNull(name);
        }
    }
}
