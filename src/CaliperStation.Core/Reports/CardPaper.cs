using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What a paper is made for.</summary>
/// <param name="Size">The sheet.</param>
/// <param name="Measure">How wide texts are in its font.</param>
/// <param name="Zone">The zone instants are shown in.</param>
public sealed record PaperSettings(PaperSize Size, TextWidth Measure, TimeZoneInfo Zone);

/// <summary>The card of a record, for the bag with the coat.</summary>
public sealed class CardPaper
{
    private readonly Record _record;
    private readonly Record? _first;
    private readonly Standard? _standard;
    private readonly PaperSettings _paper;
    private readonly LengthDisplay _show;
    private readonly Dictionary<string, Measured> _readings;

    private CardPaper(Record record, Record? first, Standard? standard, PaperSettings paper)
    {
        _record = record;
        _first = first;
        _standard = standard;
        _paper = paper;
        _show = StandardWords.Display(standard, record);
        _readings = record.Readings.DistinctBy(reading => reading.Step).ToDictionary(reading => reading.Step, reading => Agreement.Measured(record, reading));
    }

    /// <summary>The document. The same record gives the same document.</summary>
    /// <param name="seal">The sealed record, whole.</param>
    /// <param name="record">What it holds.</param>
    /// <param name="first">For a countersign or a recheck, the record it looks back at, where it is at hand.</param>
    /// <param name="standard">The standard it was judged by, for its words and its drawing; null when it is not at hand.</param>
    /// <param name="code">The code of its card.</param>
    /// <param name="paper">What it is made for.</param>
    public static PaperDocument Of(SealedRecord seal, Record record, Record? first, Standard? standard, PaperBlock.Code code, PaperSettings paper) =>
        new CardPaper(record, first, standard, paper).Document(seal, code);

    private PaperDocument Document(SealedRecord seal, PaperBlock.Code code)
    {
        string standing = RecordText.Standing(_record.IsVerified, _record.IsPractice).ToUpperInvariant();
        Plan? plan = _standard is null ? null : Plan.For(_standard, _record.Answers);
        List<PaperBlock> head = [Facts()];
        if (_record.IsPractice)
        {
            head.Add(new PaperBlock.Paragraph("PRACTICE: it holds readings that no person took, or looks back at such a record. It says nothing of a coat, and makes no blouse ready.", Strong: true));
        }

        if (plan is not null)
        {
            head.AddRange(Picture(plan));
        }

        List<PaperBlock> body = [.. Verdicts(), .. Compared(), .. Readings(), .. SetRight(), .. Asides()];
        return new PaperDocument(
            _record.Tag, standing,
            string.Create(CultureInfo.InvariantCulture, $"{(_record.IsVerified ? "" : $"{standing}. ")}Record {_record.Id}, number {_record.Number} of chain {_record.Chain}, key {RecordSignature.KeyId(seal.PublicKey) ?? "none"}. It reports what was measured against the figures it was given; it claims conformity to no regulation."),
            head, body, [code, new PaperBlock.Paragraph("Scan it: records verify --card", Small: true), .. Cautioned(plan)]);
    }

    private PaperBlock.Facts Facts()
    {
        string At(DateTimeOffset at) => LocalTime.Show(at, _paper.Zone);
        List<(string, string)> rows = [("Standard", $"{_record.Standard.Name}, edition {_record.Standard.Edition}")];
        if (_record.OfRecord is { } of)
        {
            rows.Add((_record.Kind == RecordKind.Countersign ? "Countersign of" : "Re-check of", of));
            rows.Add(("First hand", _first is null ? "that record is not at hand" : $"measured by {Hands(_first)}, signed by {RecordText.Or(_first.SignedBy)}, {At(_first.Closed)}"));
        }

        rows.Add((_record.OfRecord is null ? "Hands" : _record.Kind == RecordKind.Countersign ? "Second hand" : "Now", $"measured by {Hands(_record)}, signed by {RecordText.Or(_record.SignedBy)}"));
        rows.Add(("Time", $"{At(_record.Started)} to {At(_record.Closed)}"));
        rows.Add(("Judged", string.Create(CultureInfo.InvariantCulture,
            $"{RecordWords.Of(_record.Judging.Rule)}, confidence {_record.Judging.Confidence:0.####}, within ±{LengthFormat.WithMillimetres(_record.Judging.Within, _show)}; the tolerances are the company's own setting")));
        if (_record.Answers.Count > 0)
        {
            rows.Add(("Answers", string.Join("; ", _record.Answers.OrderBy(answer => answer.Key, StringComparer.Ordinal).Select(answer => StandardWords.Answer(_standard, answer.Key, answer.Value)))));
        }

        return new PaperBlock.Facts(rows);
    }

    private IEnumerable<PaperBlock> Picture(Plan plan)
    {
        bool compares = _record.Comparisons.Count > 0;
        (Drawing drawing, int factor) = FrontView.Of(plan, ItemPoses.Of(plan, _readings), Label, _paper.Size.Inner, _paper.Measure);
        yield return new PaperBlock.Picture(drawing);
        yield return new PaperBlock.Paragraph(
            $"At each arrow: {(compares ? "measured now (by the first hand)" : "measured (nominal)")}, in {UnitWords(_show)}. {VerdictText.Mark(Verdict.Outside)} {(compares ? "does not agree" : "outside")}, {VerdictText.Mark(Verdict.Borderline)} borderline."
            + (factor == 0 ? "" : factor == 1 ? " Items lie as measured; dashed: nominal." : string.Create(CultureInfo.InvariantCulture, $" Items lie as measured, deviations drawn {factor} times; dashed: nominal.")), Small: true);
    }

    private GapLabel? Label(Step step)
    {
        if (!_readings.TryGetValue(step.Id, out Measured measured))
        {
            return null;
        }

        string value = Bare(LengthFormat.Show(measured.Value, _show));
        if (_record.Comparisons.FirstOrDefault(each => each.Step == step.Id) is { } compared)
        {
            return new GapLabel($"{value} ({Bare(Show(compared.FirstNanometres))})", compared.Agrees ? Verdict.Within : Verdict.Outside);
        }

        Verdict? worst = _record.Verdicts.Where(verdict => verdict.Steps.Contains(step.Id)).Select(verdict => (Verdict?)verdict.Verdict).Max();
        double? nominal = _record.Verdicts.Where(verdict => verdict is { Dimension: Dimension.Length, Steps: [var first, ..], Nominal: not null } && verdict.Kind.JudgesEach && first == step.Id)
            .Select(verdict => measured.Value.ToDouble() + verdict.Nominal - verdict.Value).FirstOrDefault();   // a pitch adds the halves of sizes to its reading
        return new GapLabel(nominal is { } aim ? $"{value} ({Bare(Show(aim))})" : value, worst);
    }

    private IEnumerable<PaperBlock> Verdicts() => Block("Verdicts", ["", "Rule", "Value", "Nominal", "Limits"], _record.Verdicts.OrderByDescending(verdict => verdict.Verdict).Select(verdict =>
    {
        VerdictNumbers numbers = VerdictNumbers.Of(verdict, _show);
        string nominal = verdict is { Nominal: { } aim, Dimension: Dimension.Length } && !verdict.Kind.IsSpread ? Show(aim) : "";
        return (string[])[$"{VerdictText.Mark(verdict.Verdict)} {RecordWords.Of(verdict.Verdict)}", StandardWords.Relation(_standard, verdict.Relation, verdict.Steps), numbers.Value, nominal, LimitsOnly(numbers)];
    }));

    private IEnumerable<PaperBlock> Compared() => Block("Compared with the first hand", ["", "Reading", "First", "Now", "En"], _record.Comparisons.Select(compared => (string[])
        [$"{VerdictText.Mark(compared.Agrees ? Verdict.Within : Verdict.Outside)} {RemeasurementText.Word(compared.Agrees)}", StandardWords.Step(_standard, compared.Step), Show(compared.FirstNanometres), Show(compared.SecondNanometres), compared.En.ToString("0.00", CultureInfo.InvariantCulture)]));

    /// <summary>What has no verdict of its own: readings that are only compared with others.</summary>
    private IEnumerable<PaperBlock> Readings() => _record.Comparisons.Count > 0 ? [] : Block("Compared with one another", ["Reading", "Value"], _record.Readings
        .Where(reading => !_record.Verdicts.Any(verdict => verdict.Steps.Count == 1 && verdict.Steps[0] == reading.Step && verdict.Kind.JudgesEach))
        .Select(reading => (string[])
        [
            StandardWords.Step(_standard, reading.Step),
            LengthFormat.Show(_readings[reading.Step].Value, _show) + (reading.Takes.Count > 1 ? string.Create(CultureInfo.InvariantCulture, $", mean of {reading.Takes.Count}") : ""),
        ]));

    /// <summary>Every move, what a reading was before where it is another now, and corrected tags.</summary>
    private IEnumerable<PaperBlock> SetRight() => Block("Set right on the way", ["When", "What", "Was", "Is"], _record.Moves
        .Select(move => (move.At, Row: (string[])[LocalTime.Show(move.At, _paper.Zone), $"moved: {string.Join(", ", move.Items.Select(item => StandardWords.Item(_standard, item)))}", "", ""]))
        .Concat(_record.Withdrawn.Select(withdrawn => (withdrawn.At, Row: (string[])
        [
            LocalTime.Show(withdrawn.At, _paper.Zone), StandardWords.Step(_standard, withdrawn.Step),
            string.Join(", ", withdrawn.Takes.Select(take => LengthFormat.Show(take.Value, _show))),
            _readings.TryGetValue(withdrawn.Step, out Measured now) ? LengthFormat.Show(now.Value, _show) : "-",
        ])))
        .Concat(_record.NotSo.Select(not => (not.At, Row: (string[])[LocalTime.Show(not.At, _paper.Zone), StandardWords.Line(_standard, not.Line), "no", _record.Confirmed.Any(confirmed => confirmed.Line == not.Line) ? "yes" : "-"])))
        .Concat(_record.TagCorrections.Select(correction => (correction.At, Row: (string[])[LocalTime.Show(correction.At, _paper.Zone), $"tag corrected: {correction.Reason}", correction.From, _record.Tag])))
        .Where(row => row.Row[2].Length == 0 || row.Row[2] != row.Row[3])
        .OrderBy(row => row.At).Select(row => row.Row));

    private IEnumerable<PaperBlock> Asides() => Block("Set aside", ["When", "What, and why"], _record.Asides.Select(aside => (string[])[LocalTime.Show(aside.At, _paper.Zone), StandardWords.Aside(_standard, aside)]));

    private static IEnumerable<PaperBlock> Block(string heading, string[] columns, IEnumerable<string[]> given)
    {
        string[][] rows = [.. given];
        return rows.Length == 0 ? [] : [new PaperBlock.Heading(heading), new PaperBlock.Table(columns, rows)];
    }

    /// <summary>The cautions of what this blouse goes through, each once; that for pins always.</summary>
    internal static IEnumerable<PaperBlock> Cautioned(Plan? plan) => (plan is null ? [] : plan.Ready.Concat(plan.Looks).Select(line => line.Caution).Concat(plan.Steps.Select(step => step.Caution)))
        .OfType<string>().Append(Cautions.Pins).Distinct().Select(caution => new PaperBlock.Caution(caution));

    /// <summary>The limits without the word before them, which stands at the head of the column.</summary>
    internal static string LimitsOnly(VerdictNumbers numbers) => numbers.Limits.StartsWith("limits ", StringComparison.Ordinal) ? numbers.Limits[7..] : numbers.Limits;

    /// <summary>What the numbers at the arrows are in.</summary>
    internal static string UnitWords(LengthDisplay show) => show switch
    {
        LengthDisplay.Ticks => "ticks of 1/32 in",
        LengthDisplay.Fraction or LengthDisplay.Inch => "inches",
        LengthDisplay.Millimetre => "millimetres",
    };

    /// <summary>A length without its unit.</summary>
    internal static string Bare(string length) => length[..length.LastIndexOf(' ')];

    private static string Hands(Record record) => RecordText.Or(RecordText.Hands(record.Hands, record.Hand));

    private string Show(double nanometres) => LengthFormat.Show(RecordText.Nearest(nanometres), _show);
}
