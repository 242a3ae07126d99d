using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A study with all that can be said of it: one model for text, JSON and HTML.</summary>
/// <param name="Study">The study.</param>
/// <param name="Takes">Its readings that count.</param>
/// <param name="Analysis">By analysis of variance.</param>
/// <param name="Ranges">By averages and ranges; null where the study is not complete.</param>
/// <param name="Days">Days beside repeats; null where there is nothing to tell.</param>
/// <param name="WhyNoDays">Why there is nothing, or null.</param>
/// <param name="Confidence">Of the intervals.</param>
/// <param name="PooledAbove">The p-value above which the interaction is pooled.</param>
/// <param name="LastDay">The day of the last reading at the bench; of the begin where there is none.</param>
public sealed record StudyReport(
    StudySitting Study, IReadOnlyList<StudyTake> Takes, CrossedStudy Analysis, AverageAndRange? Ranges, NestedStudy? Days, string? WhyNoDays, double Confidence, double PooledAbove,
    DateOnly LastDay)
{
    /// <summary>The plan of the study.</summary>
    public StudyPlan Plan => Study.Plan;

    /// <summary>Works everything out.</summary>
    /// <param name="study">The study.</param>
    /// <param name="options">How; its tolerance is used where the plan has none.</param>
    /// <param name="dayOf">The day of an instant at the bench.</param>
    public static StudyReport Of(StudySitting study, StudyOptions options, Func<DateTimeOffset, DateOnly> dayOf)
    {
        StudyPlan plan = study.Plan;
        StudyTake[] takes = [.. study.Takes];
        StudyReading[] readings = [.. takes.Select(take => new StudyReading(take.Hand, take.Slot.Point, take.Reading.Value))];
        string[] points = [.. plan.Points.Select(point => point.Id)];
        StudyOptions asked = options with { Tolerance = options.Tolerance ?? plan.Tolerance };
        NestedStudy? days = NestedStudy.Of(
            [.. takes.GroupBy(take => (take.Hand, take.Slot.Point)).Select(cell => (IReadOnlyList<IReadOnlyList<IReadOnlyList<Length>>>)
                [[.. cell.GroupBy(take => dayOf(take.Reading.At)).OrderBy(day => day.Key).Select(day => (IReadOnlyList<Length>)[.. day.Select(take => take.Reading.Value)])]])],
            out string? whyNoDays);
        if (days is { Days: 1 })
        {
            (days, whyNoDays) = (null, "all readings are of one day");
        }

        CrossedStudy analysis = CrossedStudy.Of(plan.Hands, points, plan.Repeats, readings, asked);
        return new StudyReport(
            study, takes, analysis, analysis.OneReading is null ? null : AverageAndRange.Of(plan.Hands, points, plan.Repeats, readings),
            study.Missing > 0 ? null : days, study.Missing > 0 ? "the study is not complete" : whyNoDays, asked.Confidence, asked.PoolAbove,
            dayOf(takes.Select(take => take.Reading.At).DefaultIfEmpty(plan.At).Max()));
    }

    /// <summary>What is not as it should be, before any figure is believed.</summary>
    public IEnumerable<string> Remarks
    {
        get
        {
            if (Study.IsPractice)
            {
                yield return "readings of it are pretended: it is for practice, and cannot be used";
            }

            if (Study.IsAbandoned)
            {
                yield return "it was given up";
            }

            if (Analysis.Missing.Count > 0)
            {
                string[] hands = [.. Analysis.Missing.GroupBy(gap => gap.Hand).Select(gaps => FormattableString.Invariant($"{gaps.Key} {string.Join(", ", gaps.Select(gap => $"{gap.Count} of {Standard.WordsOf(gap.Point)}"))}"))];
                yield return FormattableString.Invariant($"{Analysis.Missing.Sum(gap => gap.Count)} of {Plan.Readings} readings are missing: {string.Join("; ", hands)}");
            }

            if (Analysis.WhyNot is { } why)
            {
                yield return why;
            }

            foreach (string remark in Analysis.Remarks)
            {
                yield return remark;
            }

            foreach (string wide in WideRemarks)
            {
                yield return wide;
            }

            if (Study.Withdrawn > 0)
            {
                yield return FormattableString.Invariant($"{Study.Withdrawn} {(Study.Withdrawn == 1 ? "reading was" : "readings were")} taken again; those of before are in the journal and do not count");
            }
        }
    }

    /// <summary>Repeats that lie further apart than chance lets them.</summary>
    public IEnumerable<string> WideRemarks => (Ranges?.Wide ?? []).Select(wide =>
        FormattableString.Invariant($"{wide.Hand} read {Standard.WordsOf(wide.Point)} {StudyText.Mm(wide.Range)} mm apart, and repeats here stay below {StudyText.Mm(Ranges!.RangeLimit)} mm: look for a slip before the figures are used"));

    /// <summary>What the settings would hold of it, or null with the reason.</summary>
    /// <param name="hand">A hand of the study for its own repeatability; null for every hand.</param>
    /// <param name="whyNot">Why it cannot be used, or null.</param>
    public HandFigure? FigureFor(string? hand, out string? whyNot)
    {
        HandShare? own = hand is null ? null : Analysis.Hands.FirstOrDefault(share => share.Hand == Plan.HandOf(hand));
        VariationShare? repeat = hand is null ? Analysis.Repeatability : own?.Repeatability;
        whyNot = Study.IsPractice ? "its readings are pretended"
            : Study.IsAbandoned ? "it was given up"
            : Study.Missing > 0 ? FormattableString.Invariant($"{Study.Missing} of its {Plan.Readings} readings are missing")
            : Analysis.WhyNot is { } why ? why
            : hand is not null && own is null ? $"{hand} takes no part in it"
            : repeat is not { Variance: > 0 } ? "every repeat gave the same value: it says less of a hand than the display does"
            : hand is null && Analysis.Reproducibility is null ? "one hand alone took part: it says nothing of every hand; name the hand"
            : Math.Max(repeat.Deviation, Analysis.Reproducibility?.Deviation ?? 0) > HandFigure.Largest.Nanometres ? "its spread is beyond an inch: something else than hands was studied"
            : null;
        return whyNot is not null ? null : new HandFigure(
            hand is null ? null : own!.Hand,
            Length.FromNanometres(repeat!.Deviation, Rounding.Up), Degrees(repeat.Degrees),
            Length.FromNanometres(Analysis.Reproducibility?.Deviation ?? 0, Rounding.Up),
            Analysis.Reproducibility is { Variance: > 0 } between ? Degrees(between.Degrees) : Math.Max(1, Plan.Hands.Count - 1),
            LastDay, Plan.Id);
    }

    /// <summary>Cut to the whole number below, at least 1 (JCGM 100:2008, G.4.1).</summary>
    private static int Degrees(double degrees) => (int)Math.Clamp(Math.Floor(degrees + 1e-9), 1, HandFigure.MostDegrees);
}
