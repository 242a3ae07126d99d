using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Devices;

/// <summary>The setting <c>hands</c>: what studies found of hands, as TOML and back.</summary>
internal static class HandFigureSettings
{
    /// <summary>The setting's name.</summary>
    internal const string Key = "hands";

    /// <summary>How one is written.</summary>
    internal const string Example = "[{ hand = \"AB\", repeatability = \"0.061 mm\", repeatability-degrees = 60, reproducibility = \"0.03 mm\", reproducibility-degrees = 2, date = \"2026-12-01\", study = \"…\" }]; without hand it holds for every hand";

    private const int Most = 200;

    private static readonly string[] _keys = ["hand", "repeatability", "repeatability-degrees", "reproducibility", "reproducibility-degrees", "date", "study"];

    /// <summary>The figures of a value, or null when it is not written so.</summary>
    internal static IReadOnlyList<HandFigure>? Read(TomlNode value, Func<string?, Length?> lengthOf)
    {
        if (value is not TomlList { Items.Count: <= Most } list)
        {
            return null;
        }

        List<HandFigure?> figures = [.. list.Items.Select(item => Figure(item as TomlTable, lengthOf))];
        return figures.Contains(null) ? null : [.. figures.Select(figure => figure!)];
    }

    /// <summary>The value as it stands in the file.</summary>
    internal static string Write(IEnumerable<HandFigure> figures) => $"[{string.Join(", ", figures.Select(Write))}]";

    /// <summary>The figures with one put in the place of what there was for the same hand.</summary>
    internal static IReadOnlyList<HandFigure> With(IReadOnlyList<HandFigure> figures, HandFigure found) =>
        [.. figures.Where(figure => !string.Equals(figure.Hand, found.Hand, StringComparison.OrdinalIgnoreCase)), found];

    private static HandFigure? Figure(TomlTable? table, Func<string?, Length?> lengthOf)
    {
        if (table is null || table.Entries.Any(entry => !_keys.Contains(entry.Name)))
        {
            return null;
        }

        string? Text(string key) => (table.Find(key)?.Node as TomlText)?.Value;
        int? Whole(string key) => (table.Find(key)?.Node as TomlNumber)?.Whole is { } whole and >= 1 and <= HandFigure.MostDegrees ? (int)whole : null;
        string? hand = Text("hand");
        if ((table.Find("hand") is not null && (hand is null || Initials.Validate(hand) is not null))
            || lengthOf(Text("repeatability")) is not { } repeatability || Whole("repeatability-degrees") is not { } repeatabilityDegrees
            || lengthOf(Text("reproducibility")) is not { } reproducibility || Whole("reproducibility-degrees") is not { } reproducibilityDegrees
            || !DateOnly.TryParseExact(Text("date"), HandFigureJson.Day, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly date)
            || Text("study") is not { } study)
        {
            return null;
        }

        HandFigure figure = new(hand, repeatability, repeatabilityDegrees, reproducibility, reproducibilityDegrees, date, study);
        return figure.Fault is null ? figure : null;
    }

    private static string Write(HandFigure figure) => string.Create(CultureInfo.InvariantCulture,
        $"{{ {(figure.Hand is { } hand ? $"hand = \"{hand}\", " : "")}repeatability = \"{Millimetres(figure.Repeatability)}\", repeatability-degrees = {figure.RepeatabilityDegrees}, reproducibility = \"{Millimetres(figure.Reproducibility)}\", reproducibility-degrees = {figure.ReproducibilityDegrees}, date = \"{figure.Date:yyyy-MM-dd}\", study = \"{figure.Study}\" }}");

    private static string Millimetres(Length length) => string.Create(CultureInfo.InvariantCulture, $"{length.Nanometres / 1_000_000m:0.0#####} mm");
}
