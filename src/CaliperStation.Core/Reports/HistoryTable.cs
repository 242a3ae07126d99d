using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>records history</c>: a blouse over time.</summary>
public static class HistoryTable
{
    /// <summary>For a terminal: a table, one record a line, then each record with what was not within, was set right, was set aside, and has moved; ends with a line feed.</summary>
    /// <param name="entries">The history, the oldest first; not empty.</param>
    /// <param name="standardOf">The standard with that hash, for its words and its unit; null where it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string Text(IReadOnlyList<HistoryEntry> entries, Func<string, Standard?> standardOf, TimeZoneInfo zone, int width = TableText.Unbounded)
    {
        StringBuilder text = new(TableText.Line($"Blouse {entries[^1].Tag}"));
        text.Append(TableText.Of(
        [
            ["when", "what", "hands", "signed", "verdicts", ""],
            .. entries.Select(entry => new[]
            {
                LocalTime.Show(entry.Closed ?? entry.Started, zone),
                Word(entry.Kind),
                RecordText.Or(string.Join(", ", entry.Hands)),
                RecordText.Or(entry.SignedBy),
                RecordText.Or(Verdicts(entry)),
                entry.Kind == HistoryKind.Open ? "not closed" : RecordText.Standing(entry.Verified, entry.Practice),
            }),
        ],
        width));
        foreach (HistoryEntry entry in entries)
        {
            Details(text, entry, standardOf(entry.Standard.Sha256), zone, width);
        }

        return text.ToString();
    }

    /// <summary>The same as JSON, one record a line.</summary>
    public static string Json(IEnumerable<HistoryEntry> entries) => JsonText.Lines(entries, Write);

    /// <summary>The word for what was done, the same in words and JSON.</summary>
    public static string Word(HistoryKind kind) => kind switch
    {
        HistoryKind.Measured => "measured",
        HistoryKind.Countersigned => "countersigned",
        HistoryKind.Rechecked => "re-checked",
        HistoryKind.Open => "open",
    };

    private static string Verdicts(HistoryEntry entry)
    {
        IEnumerable<(int Count, string Word)> counts = entry.Compared.Count > 0
            ? [(entry.Compared.Count(compared => compared.Agrees), "agree"), (entry.Compared.Count(compared => !compared.Agrees), "differ")]
            : Enum.GetValues<Verdict>().Select(verdict => (entry.Count(verdict), RecordWords.Of(verdict))).Append((entry.Asides.Count, "set aside"));
        return Counts(counts);
    }

    private static string Moved(HistoryEntry entry) => string.Create(CultureInfo.InvariantCulture,
        $"{entry.Changes.Count(change => !change.Agrees)} of {Counted.Of(entry.Changes.Count, "reading")} {(entry.Kind == HistoryKind.Countersigned ? "differ" : "moved")}");   // another hand that reads otherwise has moved nothing

    private static string Counts(IEnumerable<(int Count, string Word)> counts) =>
        string.Join(", ", counts.Where(count => count.Count > 0).Select(count => string.Create(CultureInfo.InvariantCulture, $"{count.Count} {count.Word}")));

    private static void Details(StringBuilder text, HistoryEntry entry, Standard? standard, TimeZoneInfo zone, int width)
    {
        LengthDisplay show = standard?.Show ?? LengthDisplay.Millimetre;
        string At(DateTimeOffset at) => LocalTime.Show(at, zone);
        List<(DateTimeOffset At, string[] Cells)> way =
        [
            .. entry.TagCorrections.Select(correction => (correction.At, (string[])["tag corrected", $"was {correction.From}", correction.Reason])),
            .. entry.NotSo.Select(not => (not.At, (string[])["not so", StandardWords.Line(standard, not.Line), "answered no"])),
            .. entry.Withdrawn.Select(withdrawal => (withdrawal.At, (string[])[withdrawal.Moved ? "made stale" : "taken again", StandardWords.Step(standard, withdrawal.Step), Takes(withdrawal)])),
            .. entry.Repins.Select(move => (move.At, (string[])["re-pinned", string.Join(", ", move.Items.Select(item => StandardWords.Item(standard, item))), ""])),
            .. entry.Asides.Select(aside => (aside.At, (string[])["set aside", StandardWords.Relation(standard, aside.Relation, aside.Step is { } step ? [step] : []), aside.Reason])),
        ];
        List<string[]> rows = [.. way.OrderBy(what => what.At).Select(what => (string[])[.. what.Cells, At(what.At)])];
        rows.AddRange(entry.Verdicts.Where(verdict => verdict.Verdict != Verdict.Within).Select(verdict => (string[])
            [RecordWords.Of(verdict.Verdict), StandardWords.Relation(standard, verdict.Relation, verdict.Steps), VerdictNumbers.Of(verdict, show).Words, "as filed"]));
        List<HistoryChange> told = [.. entry.Changes.Where(change => !change.Agrees || Difference(change, show) is not { Zero: true })];
        rows.AddRange(told.OrderBy(change => change.Agrees).Select(change => (string[])
        [
            change.Agrees ? "agrees" : entry.Kind == HistoryKind.Countersigned ? "differs" : "moved", StandardWords.Step(standard, change.Step),
            $"{Difference(change, show).Text}: {RecordText.Shown(change.BeforeNanometres, show)}, now {RecordText.Shown(change.NowNanometres, show)}{(change.En is { } en ? string.Create(CultureInfo.InvariantCulture, $", En {en:0.00}") : "")}",
            $"since {change.Since}",
        ]));
        rows.AddRange(entry.Compared.Where(compared => !compared.Agrees && !told.Exists(change => change.Step == compared.Step)).Select(compared => (string[])
        [
            "differs", StandardWords.Step(standard, compared.Step),
            string.Create(CultureInfo.InvariantCulture, $"{RecordText.Shown(compared.FirstNanometres, show)}, now {RecordText.Shown(compared.SecondNanometres, show)}, En {compared.En:0.00}"), $"from {entry.OfRecord ?? ""}",
        ]));
        text.Append('\n').Append(TableText.Lines(
            $"{Word(entry.Kind)} {At(entry.Closed ?? entry.Started)}: {(entry.Kind == HistoryKind.Open ? "sitting" : "record")} {entry.Id}{(entry.OfRecord is { } of ? $" of {of}" : "")}, by {$"{entry.Standard.Name}, {entry.Standard.Edition}"}{(entry.Changes.Count > 0 ? $"; {Moved(entry)}" : "")}",
            width, "", "  "));
        text.Append(TableText.Of(rows, width, "    "));

        string Takes(RecordWithdrawal withdrawal) => string.Join(", ", withdrawal.Takes.Select(take => $"{LengthFormat.WithMillimetres(take.Value, show)}{(take.Hand.Length > 0 ? $" by {take.Hand}" : "")}"));
    }

    private static (string Text, bool Zero) Difference(HistoryChange change, LengthDisplay show)
    {
        Length difference = RecordText.Nearest(change.NowNanometres) - RecordText.Nearest(change.BeforeNanometres);
        string shown = LengthFormat.Show(difference, show);
        return (difference > Length.Zero ? $"+{shown}" : shown, shown == LengthFormat.Show(Length.Zero, show));
    }

    private static void Write(Utf8JsonWriter json, HistoryEntry entry)
    {
        json.WriteString("record", entry.Id);
        json.WriteString("kind", Word(entry.Kind));
        json.WriteString("ofRecord", entry.OfRecord);
        json.WriteString("tag", entry.Tag);
        json.WriteString("started", FileWords.Instant(entry.Started));
        json.WriteString("closed", entry.Closed is { } closed ? FileWords.Instant(closed) : null);
        JsonText.Strings(json, "hands", entry.Hands);
        json.WriteString("signedBy", entry.SignedBy);
        json.WriteString("standard", entry.Standard.Name);
        json.WriteString("edition", entry.Standard.Edition);
        json.WriteNumber("within", entry.Count(Verdict.Within));
        json.WriteNumber("borderline", entry.Count(Verdict.Borderline));
        json.WriteNumber("outside", entry.Count(Verdict.Outside));
        json.WriteNumber("aside", entry.Asides.Count);
        json.WriteNumber("agree", entry.Compared.Count(compared => compared.Agrees));
        json.WriteNumber("differ", entry.Compared.Count(compared => !compared.Agrees));
        json.WriteBoolean("practice", entry.Practice);
        json.WriteBoolean("verified", entry.Verified);
        JsonText.Objects(json, "withdrawn", entry.Withdrawn, withdrawal =>
        {
            json.WriteString("step", withdrawal.Step);
            json.WriteString("why", RecordWords.Why(withdrawal));
            json.WriteString("at", FileWords.Instant(withdrawal.At));
            json.WriteStartArray("takesNm");
            foreach (Reading take in withdrawal.Takes)
            {
                json.WriteNumberValue(take.Value.Nanometres);
            }

            json.WriteEndArray();
        });
        JsonText.Objects(json, "repins", entry.Repins, move =>
        {
            JsonText.Strings(json, "items", move.Items);
            json.WriteString("at", FileWords.Instant(move.At));
        });
        JsonText.Objects(json, "tagCorrections", entry.TagCorrections, correction =>
        {
            json.WriteString("from", correction.From);
            json.WriteString("reason", correction.Reason);
            json.WriteString("at", FileWords.Instant(correction.At));
        });
        JsonText.Objects(json, "notSo", entry.NotSo, not =>
        {
            json.WriteString("line", not.Line);
            json.WriteString("at", FileWords.Instant(not.At));
        });
        JsonText.Objects(json, "asides", entry.Asides, aside =>
        {
            json.WriteString("relation", aside.Relation);
            json.WriteString("step", aside.Step);
            json.WriteString("reason", aside.Reason);
            json.WriteString("at", FileWords.Instant(aside.At));
        });
        JsonText.Objects(json, "notWithin", [.. entry.Verdicts.Where(verdict => verdict.Verdict != Verdict.Within)], verdict =>
        {
            json.WriteString("relation", verdict.Relation);
            json.WriteString("verdict", RecordWords.Of(verdict.Verdict));
            JsonText.Strings(json, "steps", verdict.Steps);
        });
        JsonText.Objects(json, "changes", entry.Changes, change =>
        {
            json.WriteString("step", change.Step);
            json.WriteString("since", change.Since);
            json.WriteNumber("beforeNm", change.BeforeNanometres);
            json.WriteNumber("nowNm", change.NowNanometres);
            json.WriteNumber("differenceNm", change.NowNanometres - change.BeforeNanometres);
            if (change.En is { } en)
            {
                json.WriteNumber("en", en);
            }

            json.WriteBoolean("agrees", change.Agrees);
        });
    }
}
