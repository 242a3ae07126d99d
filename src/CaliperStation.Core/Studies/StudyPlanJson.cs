using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Quantities.JsonText;

namespace CaliperStation.Core.Studies;

/// <summary>The begin of a study as the journal keeps it. The instant is the journal line's own; readings follow as in a sitting.</summary>
public static class StudyPlanJson
{
    /// <summary>The journal's kind: not that of a sitting's begin, for a bench must not go on with it as one.</summary>
    public const string Kind = "study-started";

    /// <summary>The body as one JSON object.</summary>
    public static string Body(StudyPlan plan) => JsonText.Object(json =>
    {
        json.WriteString("study", plan.Id);
        json.WriteString("title", plan.Title);
        json.WriteString("standard", plan.StandardSha256);
        json.WriteString("unit", FileWords.Of(plan.Unit));
        json.WriteString("show", StandardReader.Displays.First(pair => pair.Display == plan.Show).Word);
        JsonText.Strings(json, "hands", plan.Hands);
        json.WriteStartArray("points");
        foreach (StudyPoint point in plan.Points)
        {
            json.WriteStartObject();
            json.WriteString("point", point.Id);
            json.WriteString("ask", point.Ask);
            json.WriteString("hint", point.Hint);
            json.WriteString("caution", point.Caution);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteNumber("repeats", plan.Repeats);
        json.WriteNumber("seed", plan.Seed);
        if (plan.Tolerance is { } tolerance)
        {
            json.WriteNumber("toleranceNm", tolerance.Nanometres);
        }
    });

    /// <summary>What a body says, or null when it is none of ours: the text is as untrusted as any file.</summary>
    public static StudyPlan? Read(string body, DateTimeOffset at)
    {
        return JsonText.Read(body, root =>
        {
            string show = TextOf(root, "show");
            StudyPlan plan = new(
                TextOf(root, "study"), TextOf(root, "title"), TextOf(root, "standard"),
                FileWords.Back<LengthUnit>(TextOf(root, "unit"), FileWords.Of),
                StandardReader.Displays.First(pair => pair.Word == show).Display,
                [.. root.GetProperty("hands").EnumerateArray().Select(TextOf)],
                [.. root.GetProperty("points").EnumerateArray().Select(point => new StudyPoint(TextOf(point, "point"), TextOf(point, "ask"), point.GetProperty("hint").GetString(), point.GetProperty("caution").GetString()))],
                root.GetProperty("repeats").GetInt32(), root.GetProperty("seed").GetInt64(),
                root.TryGetProperty("toleranceNm", out JsonElement tolerance) ? Length.FromNanometres(tolerance.GetInt64()) : null,
                at);
            return plan.Fault is null ? plan : null;
        });
    }
}
