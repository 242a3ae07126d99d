using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;

namespace CaliperStation.Cli;

/// <summary>What <c>records list</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Filter">Which records.</param>
/// <param name="Json">JSON instead of a table.</param>
/// <param name="Abandoned">The sittings that were given up instead; only the filter's tag holds for them.</param>
internal sealed record RecordsListOptions(string? Store, FilterWords Filter, bool Json, bool Abandoned = false);

/// <summary>What <c>records show</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Id">The record, or a tag for its last record.</param>
/// <param name="Json">JSON instead of words.</param>
internal sealed record RecordsShowOptions(string? Store, string Id, bool Json);

/// <summary>What <c>records verify</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Target">A record's id, or an exported file; null for the whole store.</param>
/// <param name="Keys">Files of public keys that count for an exported file; none: those of the store.</param>
/// <param name="Part">The file is a part of a chain: records missing from it are not told.</param>
/// <param name="Json">JSON instead of words.</param>
internal sealed record RecordsVerifyOptions(string? Store, string? Target, IReadOnlyList<string> Keys, bool Part, bool Json);

/// <summary>What <c>records export</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Filter">Which records.</param>
/// <param name="Csv">CSV, one take a line; else JSON Lines, one sealed record a line.</param>
/// <param name="WithoutInitials">Leave the hands out.</param>
/// <param name="To">The file to write; null for standard output.</param>
internal sealed record RecordsExportOptions(string? Store, FilterWords Filter, bool Csv, bool WithoutInitials, string? To);

/// <summary>A filter as it was written on the command line; null lets everything through.</summary>
/// <param name="Tag">The blouse's tag.</param>
/// <param name="From">A day or an instant, ISO 8601; a day begins at midnight here, an instant without its offset is of here.</param>
/// <param name="Until">A day, itself included, or an instant, not included.</param>
/// <param name="Hand">Initials.</param>
/// <param name="Item">An item's id.</param>
/// <param name="Verdict"><c>within</c>, <c>borderline</c> or <c>outside</c>.</param>
internal sealed record FilterWords(
    string? Tag = null, string? From = null, string? Until = null, string? Hand = null, string? Item = null, string? Verdict = null)
{
    /// <summary>The filter.</summary>
    /// <param name="here">The zone of days and of instants without an offset.</param>
    /// <exception cref="Files.StationException">A word cannot be understood; wrong usage.</exception>
    internal RecordFilter Read(TimeZoneInfo here) => new(Tag, Instant(From, "--from", 0, here), Instant(Until, "--until", 1, here), Hand, Item, VerdictOf(Verdict));

    private static DateTimeOffset? Instant(string? text, string option, int daysOn, TimeZoneInfo here)
    {
        if (text is null)
        {
            return null;
        }

        bool isDay = DateTime.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTime local);
        string[] forms = ["yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss.fff"];
        if ((isDay || DateTime.TryParseExact(text, forms, CultureInfo.InvariantCulture, DateTimeStyles.None, out local))
            && local > DateTime.MinValue.AddDays(2) && local < DateTime.MaxValue.AddDays(-2))
        {
            local = local.AddDays(isDay ? daysOn : 0);
            return new DateTimeOffset(local, here.GetUtcOffset(local));
        }

        return DateTimeOffset.TryParseExact(text, forms.Select(form => form + "K").ToArray(), CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset instant)
            ? instant
            : throw new Files.StationException(Files.ExitCode.Usage, $"{option}: write a day as 2026-11-25 or an instant as 2026-11-25T08:30 or 2026-11-25T08:30Z.");
    }

    private static Verdict? VerdictOf(string? text) => text switch
    {
        null => null,
        "within" => Core.Judging.Verdict.Within,
        "borderline" => Core.Judging.Verdict.Borderline,
        "outside" => Core.Judging.Verdict.Outside,
        _ => throw new Files.StationException(Files.ExitCode.Usage, "--verdict: say within, borderline or outside."),
    };
}
