using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

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
        try
        {
            using JsonDocument document = JsonDocument.Parse(body);
            JsonElement root = document.RootElement;
            string show = Text(root, "show");
            StudyPlan plan = new(
                Text(root, "study"), Text(root, "title"), Text(root, "standard"),
                FileWords.Back<LengthUnit>(Text(root, "unit"), FileWords.Of),
                StandardReader.Displays.First(pair => pair.Word == show).Display,
                [.. root.GetProperty("hands").EnumerateArray().Select(Text)],
                [.. root.GetProperty("points").EnumerateArray().Select(point => new StudyPoint(Text(point, "point"), Text(point, "ask"), point.GetProperty("hint").GetString(), point.GetProperty("caution").GetString()))],
                root.GetProperty("repeats").GetInt32(), root.GetProperty("seed").GetInt64(),
                root.TryGetProperty("toleranceNm", out JsonElement tolerance) ? Length.FromNanometres(tolerance.GetInt64()) : null,
                at);
            return plan.Fault is null ? plan : null;
        }
        catch (Exception fault) when (fault is JsonException or KeyNotFoundException or InvalidOperationException or FormatException or OverflowException or ArgumentException)
        {
            return null;   // what JsonDocument and its elements throw for a broken text, a missing, doubled or ill-typed member
        }
    }

    private static string Text(JsonElement body, string name) => Text(body.GetProperty(name));

    private static string Text(JsonElement value) => value.GetString() ?? throw new FormatException("null is no text");
}
