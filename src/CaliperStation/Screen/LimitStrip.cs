using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Screen;

/// <summary>Draws where the live value lies between the limits, told by pattern as well as by colour.</summary>
/// <remarks>
/// <c>═</c> accepted, <c>─</c> inside the limits but too near one to be sure, <c>·</c> beyond, <c>├ ┤</c> the limits,
/// <c>┼</c> the nominal, <c>▼</c> the value. All are in code page 437.
/// </remarks>
internal static class StripPainter
{
    /// <summary>What its signs mean.</summary>
    public const string Legend = "▼ the value, ┼ nominal, ├ ┤ limits, ═ accepted, ─ too near a limit to be sure, · beyond";

    /// <summary>A strip: four rows show the value's mark, the bar, the limits in figures and which of a pair is larger; fewer rows drop the figures, then the mark's own row.</summary>
    public static Canvas Paint(LimitStrip strip, int width, int height)
    {
        Canvas canvas = new(width, height);
        if (canvas.Width < 2 || canvas.Height < 1)
        {
            return canvas;
        }

        int bar = canvas.Height >= 2 ? 1 : 0;
        for (int x = 0; x < canvas.Width; x++)
        {
            (char character, CellStyle style) = BarAt(strip, (x + 0.5) / canvas.Width);
            canvas.Put(x, bar, character, style);
        }

        Mark(canvas, bar, strip.Nominal, '┼', CellStyle.Strong);
        Mark(canvas, bar, strip.Lower, '├', CellStyle.Strong);
        Mark(canvas, bar, strip.Upper, '┤', CellStyle.Strong);
        Mark(canvas, 0, strip.Value, ValueMark(strip.Value), CellStyle.Strong);
        if (canvas.Height >= 3)
        {
            Figures(canvas, strip);
        }

        if (canvas.Height >= 4)
        {
            canvas.Write(canvas.All.Row(3), strip.Ways.FirstOrDefault(way => TextCells.Columns(way) <= canvas.Width, ""), CellStyle.Strong);
        }

        return canvas;
    }

    private static (char Character, CellStyle Style) BarAt(LimitStrip strip, double at)
    {
        if (at < (strip.Lower ?? 0) || at > (strip.Upper ?? 1))
        {
            return ('·', CellStyle.Quiet);
        }

        // Without a guard the whole room between the limits is accepted; a guard that leaves no room has its ends crossed.
        double acceptFrom = strip.AcceptLower ?? strip.Lower ?? 0;
        double acceptTo = strip.AcceptUpper ?? strip.Upper ?? 1;
        return at >= acceptFrom && at <= acceptTo ? ('═', CellStyle.Within) : ('─', CellStyle.Borderline);
    }

    /// <summary>At an end the value may lie further out than the strip reaches.</summary>
    private static char ValueMark(double? value) => value switch
    {
        <= 0 => '◄',
        >= 1 => '►',
        _ => '▼',
    };

    private static int Column(Canvas canvas, double at) => Math.Clamp((int)(at * canvas.Width), 0, canvas.Width - 1);

    private static void Mark(Canvas canvas, int row, double? at, char mark, CellStyle style)
    {
        if (at is { } place && double.IsFinite(place))
        {
            canvas.Put(Column(canvas, place), row, mark, style);
        }
    }

    /// <summary>Each limit under its mark; pushed to the ends when they would meet; left out when they do not fit, for a cut figure lies.</summary>
    private static void Figures(Canvas canvas, LimitStrip strip)
    {
        int lowerColumns = TextCells.Columns(strip.LowerText);
        int upperColumns = TextCells.Columns(strip.UpperText);
        int apart = lowerColumns > 0 && upperColumns > 0 ? 2 : 0;
        if (lowerColumns + upperColumns + apart > canvas.Width)
        {
            return;
        }

        int lowerAt = Under(canvas, strip.Lower ?? 0, lowerColumns);
        int upperAt = Under(canvas, strip.Upper ?? 1, upperColumns);
        if (lowerAt + lowerColumns + apart > upperAt)
        {
            int middle = (lowerAt + lowerColumns + upperAt - apart) / 2;
            lowerAt = Math.Clamp(middle - lowerColumns, 0, canvas.Width - upperColumns - apart - lowerColumns);
            upperAt = lowerAt + lowerColumns + apart;
        }

        canvas.Write(new Region(0, 2, canvas.Width, 1), strip.LowerText, CellStyle.Ground, lowerAt);
        canvas.Write(new Region(0, 2, canvas.Width, 1), strip.UpperText, CellStyle.Ground, upperAt);
    }

    private static int Under(Canvas canvas, double at, int columns) =>
        Math.Clamp(Column(canvas, at) - (columns / 2), 0, Math.Max(0, canvas.Width - columns));
}

/// <summary>Where the live value would lie between the limits if it were taken now.</summary>
internal static class StripPresenter
{
    /// <summary>Two readings that are judged by their difference; the second stands on the right of the strip.</summary>
    /// <param name="Left">The reading whose excess lies to the left.</param>
    /// <param name="Right">The other.</param>
    /// <param name="Larger">By how much the right one is larger, with the live value for the one that is wanted.</param>
    private sealed record Pair(Step Left, Step Right, Length Larger);

    /// <summary>The strip of the present step, or null when no rule can be told from this reading yet.</summary>
    internal static LimitStrip? Of(SittingView view, Prompt prompt, Length? live, Length resolution)
    {
        if (prompt is not Prompt.Read { Step: var step })
        {
            return null;
        }

        Standard standard = view.State.Plan.Standard;
        Relation? relation = view.State.Plan.Relations
            .Where(rule => rule.Needs.Contains(step.Id) && rule.Needs.All(need => need == step.Id || rule.JudgesEach || view.State.Measured(need) is not null))
            .OrderByDescending(rule => rule.JudgesEach)
            .FirstOrDefault();
        if (relation is null)
        {
            return null;
        }

        Length value = live ?? Nominals.Of(standard, step.Id);
        Measured taken = Budget.Of(standard.Judging, resolution, 1, view.State.Hand).Measure(ExactLength.From(value));
        Judgement? judgement = Judge.Relation(standard, relation, id => id == step.Id ? taken : view.State.Measured(id))
            .FirstOrDefault(judged => judged.Steps.Contains(step.Id));
        if (judgement is null)
        {
            return null;
        }

        Pair? pair = view.State.Plan.Relations.Select(rule => PairOf(view, rule, step, value)).FirstOrDefault(each => each is not null);
        LimitStrip strip = PairOf(view, relation, step, value) is { } judged ? Sided(standard, judgement, judged, relation, live is not null) : Scaled(standard, judgement, live is not null);
        return strip with { Ways = pair is not null && live is not null ? WaysOf(standard, pair) : [] };
    }

    /// <summary>The pair that a rule judges, when this step is one of it and the other is read.</summary>
    private static Pair? PairOf(SittingView view, Relation rule, Step step, Length value)
    {
        if ((rule.Kind != RelationKind.Equal && rule.Kind != RelationKind.Level) || rule.Of is not [var one, var two] || (one != step.Id && two != step.Id))
        {
            return null;
        }

        string other = one == step.Id ? two : one;
        if (view.State.Plan.FindStep(one) is not { } first || view.State.Plan.FindStep(two) is not { } second || view.State.Measured(other) is not { } known)
        {
            return null;
        }

        (Length ofFirst, Length ofSecond) = one == step.Id ? (value, known.Value.ToLength(Rounding.HalfEven)) : (known.Value.ToLength(Rounding.HalfEven), value);
        return first.At.Right <= second.At.Right ? new Pair(first, second, ofSecond - ofFirst) : new Pair(second, first, ofFirst - ofSecond);
    }

    /// <summary>Which of the pair is larger, and what that says: where both gaps lie across one item, it goes towards the larger one by half of it.</summary>
    /// <returns>The longest first: what has no room is said shorter, never cut.</returns>
    private static IReadOnlyList<string> WaysOf(Standard standard, Pair pair)
    {
        bool IsNothing(Length length) => LengthFormat.Show(length, standard.Show) == LengthFormat.Show(Length.Zero, standard.Show);
        if (IsNothing(pair.Larger.Abs()))
        {
            return [$"{pair.Left.Name} and {pair.Right.Name} are the same", "the same"];
        }

        (Step larger, Step smaller) = pair.Larger > Length.Zero ? (pair.Right, pair.Left) : (pair.Left, pair.Right);
        string by = LengthFormat.Show(pair.Larger.Abs(), standard.Show);
        bool isAcross = larger.Of == smaller.Of && larger.Grows is { } one && smaller.Grows is { } two && Math.Abs(one.Right + two.Right) < 1e-9 && Math.Abs(one.Up + two.Up) < 1e-9;
        Length half = Length.FromNanometres(pair.Larger.Abs().Nanometres / 2);
        string goes = isAcross && !IsNothing(half) ? $"{standard.NameOf(larger.Of)} goes {smaller.Grows!.Name} {LengthFormat.Show(half, standard.Show)}" : "";
        string more = $"{larger.Name} is {by} larger";
        string end = larger.Grows is { Up: > 0 } ? "higher" : larger.Grows is { Up: < 0 } ? "lower" : "";
        return goes.Length > 0 ? [$"{more}: {goes}", goes, more]
            : end.Length > 0 && !isAcross ? [$"{more}: {end} at that end", $"{more}: {end} there", more]
            : [more];
    }

    /// <summary>A strip whose left half is one reading's excess and whose right half the other's.</summary>
    private static LimitStrip Sided(Standard standard, Judgement judgement, Pair pair, Relation relation, bool hasValue)
    {
        // The judged value is the first less the second, of an equal pair without its sign; here it is always the right less the left.
        bool isTurned = relation.Of[0] == pair.Left.Id;
        Judgement sided = relation.Kind == RelationKind.Equal || !isTurned ? judgement with { Value = pair.Larger.Nanometres } : judgement with { Value = pair.Larger.Nanometres, Lower = -judgement.Upper, Upper = -judgement.Lower };
        LimitStrip strip = Scaled(standard, sided, hasValue);
        string More(Step step, double? limit) => limit is { } known ? $"{step.Name} +{Core.Reports.VerdictText.Number(judgement, Math.Abs(known), standard.Show)}" : "";
        return strip with { LowerText = More(pair.Left, sided.Lower), UpperText = More(pair.Right, sided.Upper) };
    }

    private static LimitStrip Scaled(Standard standard, Judgement judgement, bool hasValue)
    {
        double guard = Judge.GuardFactor(standard.Judging, judgement.Degrees) * judgement.Uncertainty;
        (double from, double to) = (judgement.Lower, judgement.Upper) switch
        {
            ({ } lower, { } upper) => (lower - ((upper - lower) / 2), upper + ((upper - lower) / 2)),
            ({ } lower, null) => (lower - Reach(judgement, lower), lower + Reach(judgement, lower)),
            (null, { } upper) => (upper - Reach(judgement, upper), upper + Reach(judgement, upper)),
            _ => (judgement.Value - 1, judgement.Value + 1),
        };
        double? At(double? number) => number is { } known && to > from ? Math.Clamp((known - from) / (to - from), 0, 1) : null;
        string Words(double? limit) => limit is { } known ? Core.Reports.VerdictText.Number(judgement, known, standard.Show) : "";
        double? nominal = judgement.Dimension == Dimension.Length ? judgement.Limits.Nominal?.Nanometres : judgement.Limits.NominalNumber;
        return new LimitStrip(
            At(judgement.Lower), At(judgement.Upper), At(judgement.Lower + guard), At(judgement.Upper - guard), At(nominal),
            hasValue ? At(judgement.Value) : null, Words(judgement.Lower), Words(judgement.Upper))
        {
            WouldBe = hasValue ? judgement.Verdict : null,
        };
    }

    /// <summary>How far a strip with one limit reaches to each side: a quarter of the limit, at least ten times the uncertainty.</summary>
    private static double Reach(Judgement judgement, double limit) => Math.Max(Math.Abs(limit) / 4, 10 * judgement.Uncertainty);
}
