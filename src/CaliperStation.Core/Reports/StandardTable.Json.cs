using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <content>The same for programs.</content>
public static partial class StandardTable
{
    /// <summary>
    /// An object: <c>name</c>, <c>edition</c>, <c>sha256</c>, <c>sides</c>, <c>answers</c>, <c>ready</c>, and <c>steps</c> in the order of work, each with the
    /// rules judged there. Lengths are whole nanometres (<c>lowerNm</c>), angles <c>lowerMilliradians</c>, shares <c>lowerRatio</c>;
    /// <c>lowerExcluded</c> and <c>upperExcluded</c> are there, and true, where the limit itself is not allowed.
    /// </summary>
    public static string Json(Plan plan) => JsonText.Object(json =>
    {
        Standard standard = plan.Standard;
        json.WriteString("name", standard.Name);
        json.WriteString("edition", standard.Edition);
        json.WriteString("sha256", standard.Sha256);
        json.WriteString("sides", standard.Sides == Sides.AsWorn ? "as-worn" : "viewer");
        json.WriteStartObject("answers");
        foreach ((string question, string answer) in plan.Answers)
        {
            json.WriteString(question, answer);
        }

        json.WriteEndObject();
        json.WriteStartArray("ready");
        foreach (ReadyLine line in plan.Ready)
        {
            json.WriteStartObject();
            json.WriteString("id", line.Id);
            WritePrompt(json, line.Ask, line.Hint, line.Caution);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("steps");
        foreach (Step step in plan.Steps)
        {
            WriteStep(json, plan, step);
        }

        json.WriteEndArray();
    }) + "\n";

    private static void WriteStep(Utf8JsonWriter json, Plan plan, Step step)
    {
        json.WriteStartObject();
        json.WriteString("id", step.Id);
        json.WriteString("of", step.Of);
        json.WriteString("from", step.From);
        WritePrompt(json, step.Ask, step.Hint, step.Caution);
        WriteText(json, "when", step.When is null ? null : ConditionWords.Of(plan.Standard, step.When));
        json.WriteStartArray("judged");
        foreach (Relation relation in JudgedAt(plan, step))
        {
            json.WriteStartObject();
            json.WriteString("relation", relation.Id);
            json.WriteString("kind", relation.Kind.Word);
            WriteText(json, "when", relation.When is null ? null : ConditionWords.Of(plan.Standard, relation.When));
            WriteText(json, "source", relation.Source);
            json.WriteStartArray("limits");
            foreach (Limits limits in relation.Limits)
            {
                WriteLimits(json, relation.Kind, limits);
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void WriteLimits(Utf8JsonWriter json, RelationKind kind, Limits limits)
    {
        json.WriteStartObject();
        if (kind.Dimension == Dimension.Length)
        {
            WriteLength(json, "lower", limits.Lower);
            WriteLength(json, "nominal", limits.Nominal);
            WriteLength(json, "upper", limits.Upper);
        }
        else
        {
            string unit = kind.Dimension == Dimension.Angle ? "Milliradians" : "Ratio";
            WriteNumber(json, $"lower{unit}", limits.LowerNumber);
            WriteNumber(json, $"nominal{unit}", limits.NominalNumber);
            WriteNumber(json, $"upper{unit}", limits.UpperNumber);
        }

        WriteTrue(json, "lowerExcluded", limits.LowerExcluded);
        WriteTrue(json, "upperExcluded", limits.UpperExcluded);

        json.WriteEndObject();
    }

    private static void WriteLength(Utf8JsonWriter json, string name, Length? length)
    {
        if (length is not { } value)
        {
            return;
        }

        json.WriteNumber($"{name}Nm", value.Nanometres);
        json.WriteStartObject(name);
        json.WriteString("ticks", LengthFormat.Show(value, LengthDisplay.Ticks));
        json.WriteString("fraction", LengthFormat.Show(value, LengthDisplay.Fraction));
        json.WriteString("inch", LengthFormat.Show(value, LengthDisplay.Inch));
        json.WriteString("millimetre", LengthFormat.Show(value, LengthDisplay.Millimetre));
        json.WriteEndObject();
    }

    private static void WriteNumber(Utf8JsonWriter json, string name, double? number)
    {
        if (number is { } value)
        {
            json.WriteNumber(name, value);
        }
    }

    private static void WriteTrue(Utf8JsonWriter json, string name, bool value)
    {
        if (value)
        {
            json.WriteBoolean(name, value);
        }
    }

    private static void WritePrompt(Utf8JsonWriter json, string ask, string? hint, string? caution)
    {
        json.WriteString("ask", ask);
        WriteText(json, "hint", hint);
        WriteText(json, "caution", caution);
    }

    private static void WriteText(Utf8JsonWriter json, string name, string? text)
    {
        if (text is not null)
        {
            json.WriteString(name, text);
        }
    }
}
