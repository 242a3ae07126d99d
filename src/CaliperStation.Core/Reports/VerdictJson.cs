using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
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
        json.WriteString("verdict", RecordWords.Of(judgement.Verdict));
        json.WritePropertyName("value" + unit);
        WriteValue(json, judgement);
        JsonText.Number(json, "lower" + unit, judgement.Lower);   // whole nanometres below 2^53 are exact
        JsonText.Number(json, "upper" + unit, judgement.Upper);
        json.WriteNumber("conformance", judgement.Conformance);
        json.WriteNumber("uncertainty" + unit, judgement.Uncertainty);
        if (judgement.Studies.Count > 0)
        {
            json.WriteNumber("degrees", (long)judgement.Degrees);
            JsonText.Strings(json, "studies", judgement.Studies);
        }

        JsonText.Strings(json, "steps", judgement.Steps);
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
}
