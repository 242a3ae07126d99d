using System.Globalization;
using System.Text.Json;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>Figures of hands as the journal and records keep them: <c>date</c>, <c>hand</c> or null, <c>repeatabilityNm</c> and <c>reproducibilityNm</c> with their <c>…Degrees</c>, <c>study</c>.</summary>
public static class HandFigureJson
{
    /// <summary>A day as it is written.</summary>
    public const string Day = "yyyy-MM-dd";

    /// <summary>Writes one as an object.</summary>
    public static void Write(Utf8JsonWriter json, HandFigure figure)
    {
        json.WriteStartObject();
        json.WriteString("date", figure.Date.ToString(Day, CultureInfo.InvariantCulture));
        json.WriteString("hand", figure.Hand);
        json.WriteNumber("repeatabilityDegrees", figure.RepeatabilityDegrees);
        json.WriteNumber("repeatabilityNm", figure.Repeatability.Nanometres);
        json.WriteNumber("reproducibilityDegrees", figure.ReproducibilityDegrees);
        json.WriteNumber("reproducibilityNm", figure.Reproducibility.Nanometres);
        json.WriteString("study", figure.Study);
        json.WriteEndObject();
    }

    /// <summary>Reads one.</summary>
    /// <exception cref="FormatException">A number of it is none that a figure can have.</exception>
    /// <exception cref="KeyNotFoundException">A member is missing.</exception>
    /// <exception cref="InvalidOperationException">A member is of another type.</exception>
    public static HandFigure Read(JsonElement at)
    {
        HandFigure figure = new(
            at.GetProperty("hand").GetString(),
            Length.FromNanometres(at.GetProperty("repeatabilityNm").GetInt64()), at.GetProperty("repeatabilityDegrees").GetInt32(),
            Length.FromNanometres(at.GetProperty("reproducibilityNm").GetInt64()), at.GetProperty("reproducibilityDegrees").GetInt32(),
            DateOnly.ParseExact(at.GetProperty("date").GetString() ?? "", Day, CultureInfo.InvariantCulture),
            at.GetProperty("study").GetString() ?? "");
        return figure.Fault is null && (figure.Hand is not { } hand || PrintableText.Escape(hand) == hand) ? figure : throw new FormatException(figure.Fault);
    }
}
