using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using static CaliperStation.Core.Quantities.JsonText;

namespace CaliperStation.Core.Records;

/// <summary>A remeasurement began: a countersign or a recheck of some steps of a record.</summary>
/// <remarks>What happens after it are readings, retakes and the signature, the same events as in a sitting.</remarks>
/// <param name="Sitting">Its id.</param>
/// <param name="Kind">Countersign or recheck.</param>
/// <param name="OfRecord">The record it looks back at.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Hand">Initials of the hand that measures now.</param>
/// <param name="StandardSha256">The exact text of the standard.</param>
/// <param name="Answers">The answers of the first record.</param>
/// <param name="Seed">The seed of the lot, or null.</param>
/// <param name="Share">The share by lot, 0 to 1, or null.</param>
/// <param name="Steps">The steps, in the order of work; at least one.</param>
/// <param name="At">When, UTC.</param>
public sealed record RemeasurementStarted(
    string Sitting,
    RecordKind Kind,
    string OfRecord,
    string Tag,
    string Hand,
    string StandardSha256,
    IReadOnlyDictionary<string, string> Answers,
    long? Seed,
    double? Share,
    IReadOnlyList<ChosenStep> Steps,
    DateTimeOffset At);

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
