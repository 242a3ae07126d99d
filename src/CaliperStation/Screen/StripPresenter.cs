using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Screen;

/// <summary>Where the live value would lie between the limits if it were taken now.</summary>
internal static class StripPresenter
{
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

        Measured taken = Budget.Of(standard.Judging, resolution, 1, view.State.Hand).Measure(ExactLength.From(live ?? Nominals.Of(standard, step.Id)));
        Judgement? judgement = Judge.Relation(standard, relation, id => id == step.Id ? taken : view.State.Measured(id))
            .FirstOrDefault(judged => judged.Steps.Contains(step.Id));
        return judgement is null ? null : Scaled(standard, judgement, live is not null);
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
