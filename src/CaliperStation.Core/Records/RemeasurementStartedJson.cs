using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using static CaliperStation.Core.Quantities.JsonText;

namespace CaliperStation.Core.Records;

/// <summary>The begin of a remeasurement as the journal keeps it. The instant is the journal line's own.</summary>
public static class RemeasurementStartedJson
{
    /// <summary>The journal's kind: not that of a sitting's begin, for a bench must not go on with it as one.</summary>
    public const string Kind = "second-started";

    /// <summary>The body as one JSON object.</summary>
    public static string Body(RemeasurementStarted started) => JsonText.Object(json =>
    {
        json.WriteString("sitting", started.Sitting);
        json.WriteString("of", RecordWords.Of(started.Kind));
        json.WriteString("record", started.OfRecord);
        json.WriteString("tag", started.Tag);
        json.WriteString("hand", started.Hand);
        json.WriteString("standard", started.StandardSha256);
        JsonText.Answers(json, started.Answers);
        Optional(json, started);
        json.WriteStartArray("steps");
        foreach (ChosenStep step in started.Steps)
        {
            json.WriteStartObject();
            json.WriteString("step", step.Step);
            json.WriteString("why", step.Why);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    });

    /// <summary>What a body says, or null when it is none of ours: the text is as untrusted as any file.</summary>
    public static RemeasurementStarted? Read(string body, DateTimeOffset at)
    {
        return JsonText.Read(body, root =>
        {
            RemeasurementStarted read = new(
                TextOf(root, "sitting"),
                FileWords.Back<RecordKind>(TextOf(root, "of"), RecordWords.Of),
                TextOf(root, "record"),
                TextOf(root, "tag"),
                TextOf(root, "hand"),
                TextOf(root, "standard"),
                root.GetProperty("answers").EnumerateObject().ToDictionary(answer => answer.Name, answer => TextOf(answer.Value)),
                root.TryGetProperty("seed", out JsonElement seed) ? seed.GetInt64() : null,
                root.TryGetProperty("share", out JsonElement share) ? share.GetDouble() : null,
                [.. root.GetProperty("steps").EnumerateArray().Select(step => new ChosenStep(TextOf(step, "step"), TextOf(step, "why")))],
                at);
            return read.Kind != RecordKind.Sitting && read.Steps.Count > 0 && read.Steps.DistinctBy(step => step.Step).Count() == read.Steps.Count ? read : null;
        });
    }

    private static void Optional(Utf8JsonWriter json, RemeasurementStarted started)
    {
        if (started.Seed is { } seed)
        {
            json.WriteNumber("seed", seed);
        }

        if (started.Share is { } share)
        {
            json.WriteNumber("share", share);
        }
    }
}
