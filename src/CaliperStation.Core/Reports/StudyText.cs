using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>Studies of hands as text for a terminal.</summary>
public static class StudyText
{
    /// <summary>One line a study, the newest last.</summary>
    public static string List(IReadOnlyList<StudyReport> studies, TimeZoneInfo zone, int width = TableText.Unbounded) => studies.Count == 0 ? "No study.\n" : TableText.Of(
    [
        ["study", "begun", "hands", "points", "repeats", "read", "state", "of"],
        .. studies.Select(study => (string[])
        [
            study.Plan.Id,
            LocalTime.Show(study.Plan.At, zone),
            string.Join(" ", study.Plan.Hands),
            Whole(study.Plan.Points.Count),
            Whole(study.Plan.Repeats),
            FormattableString.Invariant($"{study.Takes.Count}/{study.Plan.Readings}"),
            State(study),
            study.Plan.Title,
        ]),
    ],
    width);

    /// <summary>Open, complete, given up, or practice.</summary>
    public static string State(StudyReport study) => study.Study.IsAbandoned ? "given up" : study.Study.Missing > 0 ? "open" : study.Study.IsPractice ? "practice" : "complete";

    /// <summary>All of one study.</summary>
    public static string Of(StudyReport report, TimeZoneInfo zone, int width = TableText.Unbounded)
    {
        StudyPlan plan = report.Plan;
        CrossedStudy study = report.Analysis;
        StringBuilder text = new();
        void Line(string name, string words) => text.Append(TableText.Lines(words, width, name.PadRight(12), new string(' ', 12)));
        Line("Study", $"{plan.Id}, {State(report)}");
        Line("Of", plan.Title);
        Line("Read", FormattableString.Invariant($"{report.Takes.Count} of {plan.Readings}: {Counted.Of(plan.Hands.Count, "hand")} ({string.Join(", ", plan.Hands)}), {Counted.Of(plan.Points.Count, "point")}, {Counted.Of(plan.Repeats, "repeat")}"));
        Line("Time", report.Takes.Count == 0 ? $"begun {LocalTime.Show(plan.At, zone)}" : $"{LocalTime.Show(report.Takes.Min(take => take.Reading.At), zone)} to {LocalTime.Show(report.Takes.Max(take => take.Reading.At), zone)}");
        Line("Order", FormattableString.Invariant($"by lot, seed {plan.Seed}; blind"));
        foreach (string remark in report.Remarks)
        {
            Line("Mind", remark);
        }

        if (study.OneReading is null)
        {
            return text.ToString();
        }

        text.Append("\nWhere the variation comes from (analysis of variance)\n").Append(TableText.Of(
            [.. VarianceRows(report), ["all", Whole(study.Rows.Sum(row => row.Square.Degrees)), Square(study.TotalSumOfSquares), "", "", ""]], width, "  "));
        text.Append(TableText.Lines(PoolWords(report), width, "  ", "  "));
        text.Append("\nStandard deviations, with the interval that holds them with ").Append(Number(100 * report.Confidence, "0.#")).Append(" %\n").Append(TableText.Of(ShareRows(report), width, "  "));
        text.Append(TableText.Lines(CategoryWords(report), width, "  ", "  "));
        text.Append("\nHands\n").Append(TableText.Of(HandRows(report), width, "  "));
        text.Append("\nDays\n").Append(TableText.Lines(DayWords(report), width, "  ", "  "));
        return text.ToString();
    }

    /// <summary>The table of the analysis of variance, its headings first.</summary>
    internal static string[][] VarianceRows(StudyReport report) =>
    [
        ["source", "degrees", "sum of squares mm²", "mean square mm²", "F", "p"],
        .. report.Analysis.Rows.Select(row => (string[])[SourceOf(row.Source), Whole(row.Square.Degrees), Square(row.SumOfSquares), Square(row.Square.Value), row.F is { } f ? Number(f, "0.00") : "-", row.P is { } p ? P(p) : "-"]),
    ];

    /// <summary>The table of standard deviations, its headings first.</summary>
    internal static string[][] ShareRows(StudyReport report) =>
    [
        ["what", "mm", "from", "to", "degrees", "of the study", "of the tolerance", "by ranges mm"],
        .. Shares(report).Select(share => (string[])
        [
            share.Words, .. DeviationCells(share.Share), Percent(report.Analysis.PercentOfStudy(share.Share)), Percent(report.Analysis.PercentOfTolerance(share.Share)), share.ByRanges is { } ranges ? Mm(ranges) : "-",
        ]),
    ];

    /// <summary>The table of hands, its headings first.</summary>
    internal static string[][] HandRows(StudyReport report) =>
    [
        ["hand", "reads more than all by mm", "repeats mm", "from", "to", "degrees"],
        .. report.Analysis.Hands.Select(hand => (string[])[hand.Hand, Signed(hand.AboveMean), .. DeviationCells(hand.Repeatability)]),
    ];

    private static string[] DeviationCells(VariationShare share) => [Mm(share.Deviation), Mm(share.Interval.Lower), Mm(share.Interval.Upper), DegreesOf(share.Degrees)];

    /// <summary>The shares in the order they are shown: words, share, and the figure by ranges.</summary>
    internal static IEnumerable<(string Words, string Key, VariationShare Share, double? ByRanges)> Shares(StudyReport report)
    {
        CrossedStudy study = report.Analysis;
        return new (string, string, VariationShare?, double?)[]
        {
            ("one hand again (repeatability)", "repeatability", study.Repeatability, report.Ranges?.Repeatability),
            ("another hand (reproducibility)", "reproducibility", study.Reproducibility, report.Ranges?.Reproducibility),
            ("one reading by any hand", "oneReading", study.OneReading, report.Ranges?.OneReading),
            ("between points", "points", study.PointVariation, report.Ranges?.PointVariation),
        }.Where(share => share.Item3 is not null).Select(share => (share.Item1, share.Item2, share.Item3!, share.Item4));
    }

    /// <summary>The word for a source of variation.</summary>
    internal static string SourceOf(VariationSource source) => source switch
    {
        VariationSource.Points => "points",
        VariationSource.Hands => "hands",
        VariationSource.Interaction => "hands on points",
        VariationSource.Repeats => "repeats",
    };

    /// <summary>Whether the interaction was pooled, and by which level.</summary>
    internal static string PoolWords(StudyReport report) => report.Analysis.Rows.All(row => row.Source != VariationSource.Interaction) ? "No interaction can be told in this design."
        : report.Analysis.IsPooled ? $"Hands on points: not significant (p above {Number(report.PooledAbove, "0.###")}), pooled with the repeats."
        : $"Hands on points: kept (p not above {Number(report.PooledAbove, "0.###")}).";

    /// <summary>How many groups can be told apart, and what the tolerance is.</summary>
    internal static string CategoryWords(StudyReport report)
    {
        string groups = report.Analysis.Categories is 1 ? "One reading cannot tell these points apart." : report.Analysis.Categories is { } count ? FormattableString.Invariant($"One reading tells {count} groups of these points apart.") : "How many groups of points can be told apart is not known.";
        return report.Analysis.Tolerance is { } width ? $"{groups} Tolerance: {Mm(width.Nanometres)} mm from limit to limit; six standard deviations are set against it." : $"{groups} No tolerance is known.";
    }

    /// <summary>What days add.</summary>
    internal static string DayWords(StudyReport report) => report.Days is not { } days ? $"Nothing can be told of days: {report.WhyNoDays}."
        : $"{days.Days} days of {days.Repeats} {(days.Repeats == 1 ? "reading" : "readings")} each: within a day {(days.WithinDay is { } within ? $"{Mm(within.Deviation)} mm ({within.Degrees} degrees)" : "not known")}, means of days {Mm(days.OfDayMeans!.Value.Deviation)} mm ({days.OfDayMeans.Value.Degrees})"
            + (days.DayVariance is { } added ? $"; days add {Mm(Math.Sqrt(added))} mm{(days.DayTest is { } test ? $" (F {Number(test.F, "0.00")}, p {P(test.P)})" : "")}, one reading on any day {Mm(days.OneReading!.Value)} mm." : ".");

    /// <summary>A length in millimetres to a ten-thousandth: a tenth of a micrometre.</summary>
    internal static string Mm(double nanometres) => Number(nanometres / 1e6, "0.0000");

    /// <summary>Whole degrees of freedom, or one decimal; infinite is a word.</summary>
    internal static string DegreesOf(double degrees) => double.IsInfinity(degrees) ? "all" : Number(degrees, "0.#");

    /// <summary>A probability that never shows certainty it does not have.</summary>
    internal static string P(double probability) => probability < 0.0001 ? "< 0.0001" : Number(probability, "0.0000");

    private static string Percent(double? part) => part is { } known ? $"{Number(known, "0.0")} %" : "-";

    private static string Signed(double nanometres) => Number(nanometres / 1e6, "+0.0000;-0.0000;0.0000");

    private static string Square(double squareNanometres) => Number(squareNanometres / 1e12, "0.00000000");

    private static string Whole(long number) => number.ToString(CultureInfo.InvariantCulture);

    internal static string Number(double number, string format) => number.ToString(format, CultureInfo.InvariantCulture);
}
