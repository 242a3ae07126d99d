using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The company's page: what a standard asks of one blouse, for the wall.</summary>
public static class StandardPaper
{
    /// <summary>The document. The same plan gives the same document.</summary>
    public static PaperDocument Of(Plan plan, PaperSettings paper)
    {
        Standard standard = plan.Standard;
        LengthDisplay show = standard.Show;
        List<(string, string)> facts =
        [
            ("Edition", standard.Edition),
            ("Sides", StandardTable.SidesWords(standard)),
            ("Judged", string.Create(CultureInfo.InvariantCulture, $"{RecordWords.Of(standard.Judging.Rule)}, confidence {standard.Judging.Confidence:0.####}; the tolerances are the company's own setting")),
        ];
        facts.AddRange(standard.Questions.Select(question => ("For", $"{question.Ask} {plan.Answers[question.Id]}")));
        (Drawing drawing, _) = FrontView.Of(plan, [], step => Label(plan, step), paper.Size.Inner, paper.Measure);
        int number = 0;
        List<PaperBlock> body = [];
        if (plan.Ready.Count > 0)
        {
            body.Add(new PaperBlock.Heading("Before any reading"));
            body.Add(new PaperBlock.Table(["No.", "What to see to"], [.. plan.Ready.Select(line => (string[])[Digits(++number), Prompt(line.Ask, line.Hint, line.Caution, null, standard)])]));
        }

        body.Add(new PaperBlock.Heading("In the order of work"));
        body.Add(new PaperBlock.Table(["No.", "On", "What to measure", "Judged here"], [.. plan.StepsAndLooks.Select(line => line.Step is { } step
            ? (string[])
            [
                Digits(++number),
                StandardWords.Item(standard, step.Of),
                Prompt(step.Ask, step.Hint, step.Caution, step.When, standard),
                string.Join("; ", StandardTable.JudgedAt(plan, step).Select(relation =>
                    $"{relation.Kind.Word.Replace('-', ' ')}: {LimitsShown.In(relation, show)}{(relation.When is null ? "" : $", when {ConditionWords.Of(standard, relation.When)}")}")),
            ]
            : Seen(line.Look!))]));
        if (plan.TouchUp.Count > 0)
        {
            body.Add(new PaperBlock.Heading("After a touch-up"));
            body.Add(new PaperBlock.Table(["No.", "On", "What to see to", ""], [.. plan.TouchUp.Select(Seen)]));
        }

        string[] Seen(Look look) =>
        [
            Digits(++number),
            look.Place.Of is { } of ? StandardWords.Item(standard, standard.FindStep(of)?.Of ?? of) : "",
            Prompt($"{look.Ask}{StandardTable.Takes(look)}", look.Hint, look.Caution, null, standard),
            "seen",
        ];
        string[][] sources = [.. plan.Relations.Where(relation => relation.Source is not null).Select(relation => (string[])[Standard.WordsOf(relation.Id), relation.Source!])];
        if (sources.Length > 0)
        {
            body.Add(new PaperBlock.Heading("Sources"));
            body.Add(new PaperBlock.Table(["Rule", "From"], sources));
        }

        return new PaperDocument(
            standard.Name, "", $"sha256 {standard.Sha256}. Local rules and the company's safety briefing come first.",
            [
                new PaperBlock.Facts(facts), new PaperBlock.Picture(drawing),
                new PaperBlock.Paragraph($"At each arrow its nominal, in {CardPaper.UnitWords(show)}; gaps of one letter are equal.", Small: true),
                new PaperBlock.Caution(Cautions.Pins),
            ],
            body, []);
    }

    /// <summary>The nominal or what is allowed; of gaps that are compared, a letter.</summary>
    private static GapLabel? Label(Plan plan, Step step)
    {
        Relation[] own = [.. plan.Relations.Where(relation => relation.JudgesEach && relation.Of.Contains(step.Id))];
        if (own.Length > 0)
        {
            string Bare(Length length) => CardPaper.Bare(LengthFormat.Show(length, plan.Standard.Show));
            return new GapLabel(string.Join(" or ", own.SelectMany(relation => relation.Limits is [{ Nominal: null, Lower: { } lower, Upper: { } upper }] ? [$"{Bare(lower)} to {Bare(upper)}"]
                : Nominals.Named(plan, relation).Select(Bare).DefaultIfEmpty(LimitsShown.In(relation, plan.Standard.Show))).Distinct()), null);
        }

        Relation[] compared = [.. plan.Relations.Where(relation => relation.Kind == RelationKind.Equal)];
        int letter = Array.FindIndex(compared, relation => relation.Of.Contains(step.Id));
        return letter < 0 ? null : new GapLabel(letter < 26 ? ((char)('A' + letter)).ToString() : Digits(letter + 1), null);
    }

    private static string Prompt(string ask, string? hint, string? caution, Condition? when, Standard standard) => string.Join(" ", new[]
    {
        when is null ? ask : $"{ask} (when {ConditionWords.Of(standard, when)})",
        hint is null ? null : $"({hint})",
        caution is null ? null : $"CAUTION: {caution}",
    }.OfType<string>());

    private static string Digits(int number) => number.ToString(CultureInfo.InvariantCulture);
}

/// <summary>One blouse of a list.</summary>
/// <param name="Blouse">How it stands.</param>
/// <param name="Record">Its last record, or null.</param>
/// <param name="Standard">The standard that record was judged by; null when it is not at hand.</param>
public sealed record ListedBlouse(Readiness Blouse, Record? Record, Standard? Standard);

/// <summary>The list for the one who inspects: who is ready, and for the rest what is to be set right on which blouse.</summary>
public static class ReadinessPaper
{
    /// <summary>The document.</summary>
    /// <param name="blouses">The blouses, in order.</param>
    /// <param name="rule">What was asked, and when.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    public static PaperDocument Of(IReadOnlyList<ListedBlouse> blouses, ReadinessRule rule, TimeZoneInfo zone)
    {
        int ready = blouses.Count(each => each.Blouse.IsReady);
        string asked = string.Join("; ", new[]
        {
            rule.MaxDays is { } days ? string.Create(CultureInfo.InvariantCulture, $"records of at most {days} days") : null,
            rule.Countersigned ? "countersigned" : null,
        }.OfType<string>().DefaultIfEmpty("verified"));
        List<PaperBlock> body =
        [
            new PaperBlock.Table(
                ["Blouse", "Ready", "Countersigned", "Re-check", "Signed", "Why not"],
                [.. blouses.Select(each => (string[])
                [
                    each.Blouse.Tag, each.Blouse.IsReady ? $"{VerdictText.Mark(Verdict.Within)} yes" : $"{VerdictText.Mark(Verdict.Outside)} no",
                    RemeasurementText.Word(each.Blouse.Countersigned, "-"), RemeasurementText.Word(each.Blouse.Rechecked, "-"), each.Blouse.Last is { } last ? LocalTime.Show(last.Closed, zone) : "-", string.Join("; ", each.Blouse.Why),
                ])]),
        ];
        foreach (ListedBlouse each in blouses.Where(each => !each.Blouse.IsReady && each.Record is not null))
        {
            body.AddRange(SetRight(each, each.Record!));
        }

        return new PaperDocument(
            "Readiness", string.Create(CultureInfo.InvariantCulture, $"{ready} of {blouses.Count} ready"), "The tolerances are the company's own. Local rules come first.",
            [new PaperBlock.Facts([("As of", LocalTime.Show(rule.Now, zone)), ("Asked", asked)]), new PaperBlock.Caution(Cautions.Pins)], body, []);
    }

    private static IEnumerable<PaperBlock> SetRight(ListedBlouse listed, Record record)
    {
        LengthDisplay show = StandardWords.Display(listed.Standard, record);
        string[][] wrong = [.. record.Verdicts.Where(verdict => verdict.Verdict != Verdict.Within).OrderByDescending(verdict => verdict.Verdict).Select(verdict =>
        {
            VerdictNumbers numbers = VerdictNumbers.Of(verdict, show);
            return (string[])[$"{VerdictText.Mark(verdict.Verdict)} {RecordWords.Of(verdict.Verdict)}", StandardWords.Relation(listed.Standard, verdict.Relation, verdict.Steps), numbers.Value, CardPaper.LimitsOnly(numbers)];
        })];
        if (wrong.Length == 0)
        {
            yield break;
        }

        yield return new PaperBlock.Heading($"To be set right on {record.Tag}");
        yield return new PaperBlock.Table(["", "Rule", "Value", "Limits"], wrong);
        foreach (string move in listed.Standard is null ? [] : Moves(listed.Standard, record))
        {
            yield return new PaperBlock.Paragraph(move);
        }

        foreach (RecordAside aside in record.Asides)
        {
            yield return new PaperBlock.Paragraph($"Set aside: {StandardWords.Aside(listed.Standard, aside)}");
        }
    }

    /// <summary>The fewest pins to move, in words.</summary>
    private static IEnumerable<string> Moves(Standard standard, Record record)
    {
        Plan plan = Plan.For(standard, record.Answers);
        Dictionary<string, Measured> readings = record.Readings.DistinctBy(reading => reading.Step).ToDictionary(reading => reading.Step, reading => Agreement.Measured(record, reading));
        Advice advice = Advise.For(plan, readings, CorrectingSettings.For(standard), plan.Relations.Select(relation => relation.Id).ToHashSet());
        return advice.Moves.Select(move => $"Move {standard.NameOf(move.Item)}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}").Concat(advice.Conflicts);
    }
}
