using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Quantities.JsonText;

namespace CaliperStation.Core.Sittings;

/// <summary>Sitting events as the journal keeps them: a kind and one JSON object. The instant is the journal line's own.</summary>
public static class SittingEventJson
{
    /// <summary>Kind of an event.</summary>
    public static string Kind(SittingEvent happened) => happened switch
    {
        SittingEvent.Started => "started",
        SittingEvent.Confirmed => "ready",
        SittingEvent.NotSo => "not-so",
        SittingEvent.Begun => "begun",
        SittingEvent.Unconfirmed => "not-ready",
        SittingEvent.Took => "reading",
        SittingEvent.Withdrew => "retaken",
        SittingEvent.Moved => "moved",
        SittingEvent.SetAside => "aside",
        SittingEvent.Signed => "signed",
        SittingEvent.HandChanged => "hand",
        SittingEvent.TagCorrected => "tag",
        SittingEvent.Abandoned => "abandoned",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    /// <summary>The event's body as one JSON object.</summary>
    public static string Body(SittingEvent happened) => JsonText.Object(json => Write(json, happened));

    /// <summary>The event of a kind and body, or null when they are none of ours: the text is as untrusted as any file.</summary>
    public static SittingEvent? Read(string kind, string body, DateTimeOffset at) =>
        JsonText.Read(body, root => Read(kind, root, at));

    private static void Write(Utf8JsonWriter json, SittingEvent happened)
    {
        switch (happened)
        {
            case SittingEvent.Started started:
                json.WriteString("sitting", started.Sitting);
                json.WriteString("tag", started.Tag);
                json.WriteString("hand", started.Hand);
                json.WriteString("standard", started.StandardSha256);
                JsonText.Answers(json, started.Answers);
                if (started.Figures.Count > 0)
                {
                    json.WriteStartArray("studies");
                    foreach (HandFigure figure in started.Figures)
                    {
                        HandFigureJson.Write(json, figure);
                    }

                    json.WriteEndArray();
                }

                break;
            case SittingEvent.Confirmed confirmed:
                json.WriteString("line", confirmed.Line);
                break;
            case SittingEvent.NotSo not:
                json.WriteString("line", not.Line);
                break;
            case SittingEvent.Begun begun:
                json.WriteString("line", begun.Line);
                break;
            case SittingEvent.Unconfirmed unconfirmed:
                json.WriteString("line", unconfirmed.Line);
                break;
            case SittingEvent.Took took:
                json.WriteString("step", took.Step);
                json.WriteNumber("valueNm", took.Reading.Value.Nanometres);
                json.WriteString("unit", FileWords.Of(took.Reading.Unit));
                json.WriteNumber("resolutionNm", took.Reading.Resolution.Nanometres);
                json.WriteString("source", FileWords.Of(took.Reading.Source));
                json.WriteString("taken", FileWords.Instant(took.Reading.At));
                json.WriteString("raw", took.Reading.Raw);
                json.WriteString("hand", took.Reading.Hand);
                break;
            case SittingEvent.Withdrew withdrew:
                json.WriteString("step", withdrew.Step);
                break;
            case SittingEvent.Moved moved:
                JsonText.Strings(json, "items", moved.Items);
                break;
            case SittingEvent.SetAside aside:
                json.WriteString("relation", aside.Relation);
                json.WriteString("step", aside.Step);
                json.WriteString("reason", aside.Reason);
                break;
            case SittingEvent.Signed signed:
                json.WriteString("initials", signed.Initials);
                break;
            case SittingEvent.HandChanged changed:
                json.WriteString("hand", changed.Hand);
                break;
            case SittingEvent.TagCorrected corrected:
                json.WriteString("tag", corrected.Tag);
                json.WriteString("reason", corrected.Reason);
                break;
            case SittingEvent.Abandoned abandoned:
                json.WriteString("reason", abandoned.Reason);
                break;
            default:
                throw new System.Diagnostics.UnreachableException();
        }
    }

    private static SittingEvent? Read(string kind, JsonElement body, DateTimeOffset at) => kind switch
    {
        "started" => new SittingEvent.Started(
            TextOf(body, "sitting"), TextOf(body, "tag"), TextOf(body, "hand"), TextOf(body, "standard"),
            body.GetProperty("answers").EnumerateObject().ToDictionary(answer => answer.Name, answer => TextOf(answer.Value)))
        {
            At = at,
            Figures = body.TryGetProperty("studies", out JsonElement figures) ? [.. figures.EnumerateArray().Select(HandFigureJson.Read)] : [],
        },
        "ready" => new SittingEvent.Confirmed(TextOf(body, "line")) { At = at },
        "not-so" => new SittingEvent.NotSo(TextOf(body, "line")) { At = at },
        "begun" => new SittingEvent.Begun(TextOf(body, "line")) { At = at },
        "not-ready" => new SittingEvent.Unconfirmed(TextOf(body, "line")) { At = at },
        "reading" => new SittingEvent.Took(TextOf(body, "step"), Reading(body)) { At = at },
        "retaken" => new SittingEvent.Withdrew(TextOf(body, "step")) { At = at },
        "moved" when body.GetProperty("items").GetArrayLength() > 0 => new SittingEvent.Moved([.. body.GetProperty("items").EnumerateArray().Select(TextOf)]) { At = at },
        "aside" => new SittingEvent.SetAside(TextOf(body, "relation"), body.GetProperty("step").GetString(), TextOf(body, "reason")) { At = at },
        "signed" => new SittingEvent.Signed(TextOf(body, "initials")) { At = at },
        "hand" => new SittingEvent.HandChanged(TextOf(body, "hand")) { At = at },
        "tag" => new SittingEvent.TagCorrected(TextOf(body, "tag"), TextOf(body, "reason")) { At = at },
        "abandoned" => new SittingEvent.Abandoned(TextOf(body, "reason")) { At = at },
        _ => null,
    };

    private static Reading Reading(JsonElement body) => new(
        Length.FromNanometres(body.GetProperty("valueNm").GetInt64()),
        FileWords.Back<LengthUnit>(TextOf(body, "unit"), FileWords.Of),
        body.GetProperty("resolutionNm").GetInt64() is > 0 and var resolution ? Length.FromNanometres(resolution) : throw new FormatException("resolutionNm"),
        FileWords.Back<ReadingSource>(TextOf(body, "source"), FileWords.Of),
        body.GetProperty("taken").GetDateTimeOffset().ToUniversalTime(),
        TextOf(body, "raw"))
    {
        Hand = body.TryGetProperty("hand", out JsonElement hand) ? TextOf(hand) : "",
    };
}
