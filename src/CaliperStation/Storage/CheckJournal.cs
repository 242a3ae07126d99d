using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Studies;

namespace CaliperStation.Storage;

/// <summary>A caliper check as the journal holds it.</summary>
/// <param name="At">When.</param>
/// <param name="Body">The event as one JSON object.</param>
internal sealed record JournalCheck(DateTimeOffset At, string Body)
{
    /// <summary>The kind of its event.</summary>
    internal const string Kind = "caliper-check";
}

/// <summary>A check that is in the store.</summary>
/// <param name="At">When it ended.</param>
/// <param name="IsWithin">Whether every point was.</param>
/// <param name="Largest">The largest error between the outside jaws, without its sign; null where the body does not say it.</param>
internal readonly record struct SavedCheck(DateTimeOffset At, bool IsWithin, Length? Largest = null);

/// <summary>Caliper checks in the journal: events of their own, of no sitting.</summary>
internal static class CheckJournal
{
    /// <summary>The event's body; <c>port</c> says which caliper.</summary>
    internal static string Body(CaliperCheck check, string port, DateTimeOffset at) => JsonText.Object(json =>
    {
        json.WriteString("port", port);
        json.WriteString("at", FileWords.Instant(at));
        json.WriteNumber("rangeNm", check.Range.Nanometres);
        json.WriteNumber("permissibleNm", check.Permissible.Outside.Constant.Nanometres);
        json.WriteNumber("permissiblePer", check.Permissible.Outside.Per);
        json.WriteBoolean("within", check.IsWithin);
        json.WriteStartArray("points");
        foreach (CheckPoint point in check.Points)
        {
            json.WriteStartObject();
            json.WriteNumber("blockNm", point.Block.Nanometres);
            json.WriteNumber("shownNm", point.Shown.Nanometres);
            json.WriteNumber("errorNm", point.Error.Nanometres);
            json.WriteString("place", CheckWords.Of(point.Place));
            json.WriteNumber("permissibleNm", check.Permissible.Of(point.Place).At(point.Block).Nanometres);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    });

    /// <summary>Keeps a check.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static void Keep(IJournal journal, CaliperCheck check, string port, DateTimeOffset at) => journal.Append(at, "", JournalCheck.Kind, Body(check, port, at));

    /// <summary>The last check of the caliper on a port, or null.</summary>
    internal static SavedCheck? Last(Store store, string port) => store.LastCheck(port) is { } last
        && JsonText.Read(last.Body, body => (object)(body.TryGetProperty("within", out JsonElement within) && within.ValueKind == JsonValueKind.True)) is bool isWithin
            ? new SavedCheck(last.At, isWithin, Largest(last.Body))
            : null;

    /// <summary>Bodies of before name no place: all their points were between the outside jaws.</summary>
    private static Length? Largest(string check) => JsonText.Read(check, body => (object?)body.GetProperty("points").EnumerateArray()
        .Where(point => !point.TryGetProperty("place", out JsonElement place) || place.GetString() is "near" or "far")
        .Select(point => (Length?)Length.FromNanometres(point.GetProperty("errorNm").GetInt64()).Abs()).Max()) as Length?;

    /// <summary>What to say when a sitting begins, or null: no check, an old one, one that was not within, or one that does not confirm what the standard reckons with. It never blocks.</summary>
    /// <param name="last">The last check of this caliper.</param>
    /// <param name="days">How old it may be; 0 for never.</param>
    /// <param name="now">The time.</param>
    /// <param name="reckoned">The caliper's permissible error in the standard's budget, or null.</param>
    internal static CheckReminder? Reminder(SavedCheck? last, int days, DateTimeOffset now, Length? reckoned = null)
    {
        const string How = "\"caliper-station caliper check\" tries it on closed jaws and gauge blocks.";
        return (last, days) switch
        {
            (_, 0) => null,
            (null, _) => new(ReminderKind.NeverChecked, $"This caliper was never checked here. {How}"),
            ({ IsWithin: false }, _) => new(ReminderKind.NotWithin, $"This caliper was not within at its last check, on {last.Value.At:yyyy-MM-dd}. {How}"),
            ({ Largest: { } largest }, _) when largest > reckoned => new(
                ReminderKind.NotConfirmed,
                $"At its last check, on {last.Value.At:yyyy-MM-dd}, this caliper was {LengthFormat.ShowExact(largest)} off, and this standard reckons with at most {LengthFormat.ShowExact(reckoned.Value)} (caliper, under judging). {How}"),
            _ when now - last.Value.At > TimeSpan.FromDays(days) => new(
                ReminderKind.Old, FormattableString.Invariant($"The last check of this caliper is {(int)(now - last.Value.At).TotalDays} days old; {days} are allowed here. {How}")),
            _ => null,
        };
    }
}

/// <summary>Why a check of the caliper is due.</summary>
internal enum ReminderKind
{
    /// <summary>There was none.</summary>
    NeverChecked,

    /// <summary>At the last one it was not within.</summary>
    NotWithin,

    /// <summary>The last one does not confirm what the standard reckons with.</summary>
    NotConfirmed,

    /// <summary>The last one is too old.</summary>
    Old,
}

/// <summary>What is said of the caliper's check when a sitting begins.</summary>
internal sealed record CheckReminder(ReminderKind Kind, string Words);
